/* Values that outlast power: what the rules keep, and the settings. */
#ifndef STORE_H
#define STORE_H

#include "rules.h"

#define STORE_VALUES (RULES_KEPT + RULES_SETTINGS)

#if STORE_VALUES > 0
/* Before tick 0: the newest whole record, or what the rules say where there is none. */
void store_begin(struct rules_start *start);

/* The same for a game that begins anew without a loss of power: what is kept, and what is set by now. */
void store_again(struct rules_start *start);

/* Every tick: values that have changed and stayed for a while are written, a byte a tick, when the memory is ready. */
void store_tick(void);
#endif

#if RULES_SETTINGS > 0
/* The next value of a setting, the least after the greatest. In force from the next start on. */
void store_step(uint8_t setting);
int32_t store_setting(uint8_t setting);
#endif

#endif
