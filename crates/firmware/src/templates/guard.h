/* Whether the display may be lit at all: not after three resets in a minute, and not with boards wired for other rules. */
#ifndef GUARD_H
#define GUARD_H

#include <stdbool.h>
#include <stdint.h>

/* Why it stays dark. */
enum guard { GUARD_LIT, GUARD_RESETS, GUARD_WIRING };

/* At every start, before anything is lit: counts it. An ordinary start is one where power came up after a quiet minute. */
enum guard guard_begin(bool power_came_up);

/* After a minute without a reset: the count begins anew. Written by `guard_tick`, a byte a tick. */
void guard_minute(void);
void guard_tick(void);

/* Somebody has closed the service jumper: what kept it dark has been looked at, and the wiring is that of this program. */
void guard_somebody_came(void);

#endif
