/* Replays written games, every tick of them, and says how long it took. Input: number of games; then for each its last tick,
 * its number of lines, and lines of tick, pressed, held. Output: nanoseconds, then the fingerprint of each game's end. */
#define _POSIX_C_SOURCE 199309L
#include "rules.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

struct line {
    uint32_t tick, pressed, held;
};
struct game {
    uint32_t last, count, fingerprint;
    struct line *lines;
};

static uint32_t play(const struct game *game)
{
    uint32_t next = 0;
    uint32_t held = 0;
    rules_begin();
    for (uint32_t tick = 1; tick <= game->last; tick++) {
        uint32_t pressed = 0;
        if (next < game->count && game->lines[next].tick == tick) {
            pressed = game->lines[next].pressed;
            held = game->lines[next].held;
            next++;
        }
        rules_step((rules_buttons)pressed, (rules_buttons)held);
    }
    return rules_fingerprint();
}

int main(void)
{
    uint32_t count;
    struct timespec from, to;
    if (scanf("%" SCNu32, &count) != 1) {
        return 1;
    }
    struct game *games = calloc(count, sizeof *games);
    for (uint32_t g = 0; g < count; g++) {
        struct game *game = &games[g];
        if (scanf("%" SCNu32 " %" SCNu32, &game->last, &game->count) != 2) {
            return 1;
        }
        game->lines = calloc(game->count + 1, sizeof *game->lines);
        for (uint32_t k = 0; k < game->count; k++) {
            struct line *line = &game->lines[k];
            if (scanf("%" SCNu32 " %" SCNu32 " %" SCNu32, &line->tick, &line->pressed, &line->held) != 3) {
                return 1;
            }
        }
    }
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (uint32_t g = 0; g < count; g++) {
        games[g].fingerprint = play(&games[g]);
    }
    clock_gettime(CLOCK_MONOTONIC, &to);
    printf("%.0f\n", (double)(to.tv_sec - from.tv_sec) * 1e9 + (double)(to.tv_nsec - from.tv_nsec));
    for (uint32_t g = 0; g < count; g++) {
        printf("%" PRIu32 "\n", games[g].fingerprint);
    }
    return 0;
}
