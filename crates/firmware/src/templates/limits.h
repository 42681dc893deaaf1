/* Limits beneath the rules: nothing that the rules, the bench or a hand edit ask for goes beyond them. */
#ifndef LIMITS_H
#define LIMITS_H

#include "wiring.h"

/* At the start: everything is dark. */
void limits_begin(void);

/*
 * Every tick: from the outputs as they are wanted to the outputs as they may be. The same, unless a limit is reached; then
 * a figure keeps its picture until it may change, and the game goes on without knowing of it.
 */
void limits_apply(const uint8_t wanted[WIRING_BYTES], uint8_t allowed[WIRING_BYTES]);

#endif
