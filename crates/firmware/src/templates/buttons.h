/* From the raw levels of the buttons to presses. */
#ifndef BUTTONS_H
#define BUTTONS_H

#include "rules.h"

/* At the start: no button is heard until it has been seen up once. */
void buttons_begin(void);

/* Takes the raw levels of one tick (a bit for each button that is down); gives the presses and what is held. */
void buttons_tick(rules_buttons down, rules_buttons *pressed, rules_buttons *held);

#endif
