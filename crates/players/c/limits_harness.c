/* Plays limits.c: a line of wanted bytes in, a line of allowed bytes out. */
#include "limits.h"

#include <stdio.h>

int main(void)
{
    uint8_t wanted[WIRING_BYTES];
    uint8_t allowed[WIRING_BYTES];
    limits_begin();
    for (;;) {
        for (int k = 0; k < WIRING_BYTES; k++) {
            unsigned byte;
            if (scanf("%2x", &byte) != 1) {
                return 0;
            }
            wanted[k] = (uint8_t)byte;
        }
        limits_apply(wanted, allowed);
        for (int k = 0; k < WIRING_BYTES; k++) {
            printf("%02x", (unsigned)allowed[k]);
        }
        printf("\n");
    }
}
