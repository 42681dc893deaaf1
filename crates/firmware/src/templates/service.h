/* What somebody does at the controller: the service jumper arms it, buttons do the rest. */
#ifndef SERVICE_H
#define SERVICE_H

#include "wiring.h"

/* Who has the outputs: the game as it goes on, the roll call, or the game from its beginning. */
enum service { SERVICE_GAME, SERVICE_ROLL_CALL, SERVICE_BEGINS };

/* At the start: a jumper that is closed by now arms nothing, it was forgotten. */
void service_begin(void);

/* Every tick: whether the jumper, seen open for a second, has been closed for one since. Open again ends it at once. */
bool service_is_armed(bool is_closed);

/* Every tick of the game, and of the roll call: buttons as they are heard, and the outputs as they are. */
enum service service_tick(bool is_closed, rules_buttons pressed, rules_buttons held, const uint8_t shown[WIRING_BYTES]);

/* In the roll call: the outputs as they are wanted, none while nobody holds a button. */
void service_outputs(rules_buttons held, const uint8_t shown[WIRING_BYTES], uint8_t wanted[WIRING_BYTES]);

#if RULES_SETTINGS > 0
/* While settings are stepped the first digits show the value of the one at hand. */
void service_show(struct rules_frame *frame);
#endif

#endif
