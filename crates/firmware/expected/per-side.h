/* The rules of this display: what the rest of the program may use of them. */
#ifndef RULES_H
#define RULES_H

#include <stdbool.h>
#include <stdint.h>

/* Length of a tick in milliseconds. */
#define RULES_TICK_MS 10
#define RULES_BUTTONS 2
#define RULES_FIGURES 2
#define RULES_SPOTS 4
#define RULES_DIGITS 2
#define RULES_SOUNDS 0
#define RULES_KEPT 0
#define RULES_SETTINGS 0

#define BUTTON_WEST ((rules_buttons)1U << 0)
#define BUTTON_EAST ((rules_buttons)1U << 1)

/* Figures, in the order of the frame. */
enum {
    FIGURE_WEST,
    FIGURE_EAST,
};

/* Poses of each figure; a figure without one is dark. */
#define POSE_DARK 0

/* Poses of west. */
enum {
    POSE_WEST_READY = 1,
    POSE_WEST_THROWING,
};

/* Poses of east. */
enum {
    POSE_EAST_READY = 1,
    POSE_EAST_THROWING,
};

/* Spots, in the order of the frame. */
enum {
    SPOT_WEST,
    SPOT_EAST,
    SPOT_CLUB_1,
    SPOT_CLUB_2,
};

/* Digits, in the order of the frame. */
enum {
    DIGITS_WEST_COUNT,
    DIGITS_EAST_COUNT,
};

/* A set of buttons, one bit for each. */
typedef uint8_t rules_buttons;

/* What is lit: for each figure its pose, for each spot its level, for each digits their number; and which sounds begin. */
struct rules_frame {
    uint8_t pose[RULES_FIGURES];
    uint8_t level[RULES_SPOTS];
    int32_t number[RULES_DIGITS]; /* -1 is blank */
    bool zeros[RULES_DIGITS]; /* whether leading zeros are lit */
};

/* Tick 0 as the rules say: enters the first states. */
void rules_begin(void);

/* One tick: the buttons pressed since the last one, and those that are down. */
void rules_step(rules_buttons pressed_now, rules_buttons held_now);

/* What is to be lit after the last tick. */
void rules_show(struct rules_frame *frame);

#ifdef LAMPWRIGHT_TRIAL
/* For trials only: the whole situation in one number, and a frame as bytes. */
uint32_t rules_fingerprint(void);
uint16_t rules_frame_bytes(const struct rules_frame *frame, uint8_t *bytes);
#define RULES_FRAME_BYTES 16
#define RULES_PICK_SITES 0
#endif

#endif
