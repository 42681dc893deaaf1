/* Tables stay in the program's memory: on the controller they would take up the little there is to work in. */
#ifndef TABLE_H
#define TABLE_H

#ifdef __AVR__
#include <avr/pgmspace.h>
#define TABLE static const PROGMEM
#define BYTE(at) pgm_read_byte(&(at))
#define WORD(at) pgm_read_word(&(at))
#else
#define TABLE static const
#define BYTE(at) (at)
#define WORD(at) (at)
#endif

#endif
