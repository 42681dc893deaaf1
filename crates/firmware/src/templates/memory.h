/* The memory that outlasts power, a byte at a time, and who has which part of it. */
#ifndef MEMORY_H
#define MEMORY_H

#include <stdbool.h>
#include <stdint.h>

#define MEMORY_BYTES 1024U
/* The guard has the first bytes, the store all others. */
#define MEMORY_STORE 16U

/* Whether a byte can be written now; one takes some 3.4 ms. */
bool memory_ready(void);
uint8_t memory_read(uint16_t at);
/* Begins to write a byte; waits first where the last one is still being written. */
void memory_write(uint16_t at, uint8_t byte);

#endif
