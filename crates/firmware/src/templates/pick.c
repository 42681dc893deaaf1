/* Random picks: one stream for each machine (xorshift 13, 17, 5), values from its high end. */
#ifdef LAMPWRIGHT_TRIAL
struct rules_trial rules_trial;
#define NOTE_NO_PICKS() (rules_trial.picked = 0)

/* A trial may give a value in place of the picked one, and sees what was picked. */
static inline int32_t given(uint16_t site, int32_t least, int32_t most, int32_t value)
{
    return rules_trial.given[site] ? hold_wide(rules_trial.value[site], least, most) : value;
}

static int32_t note(uint16_t site, int32_t value)
{
    if (rules_trial.picked < RULES_PICK_SITES) {
        rules_trial.picked_site[rules_trial.picked] = site;
        rules_trial.picked_value[rules_trial.picked] = value;
        rules_trial.picked++;
    }
    return value;
}
#else
#define NOTE_NO_PICKS() ((void)0)
#define given(site, least, most, value) (value)
#define note(site, value) (value)
#endif

/* A random whole number below a count: Marsaglia's xorshift 13, 17, 5, and the high half of word times count, in 32 bits. */
static uint32_t below(uint32_t *stream, uint32_t count)
{
    uint32_t word = *stream;
    word ^= word << 13;
    word ^= word >> 17;
    word ^= word << 5;
    *stream = word;
    const uint32_t low = (word & 0xFFFFU) * count;
    return ((word >> 16) * count + (low >> 16)) >> 16;
}

static inline int32_t pick(uint32_t *stream, uint16_t site, int32_t least, int32_t most)
{
    const int32_t own = least + (int32_t)below(stream, (uint32_t)(most - least) + 1U);
    (void)site;
    return note(site, given(site, least, most, own));
}

/* A value out of a bag, which has a bit for each value still in it; an empty one is full again. */
static inline int32_t draw(uint32_t *stream, uint32_t *bag, uint16_t site, int32_t least, int32_t most)
{
    const uint8_t values = (uint8_t)(most - least + 1);
    uint8_t still = 0;
    uint8_t bit = 0;
    (void)site;
    if (*bag == 0) {
        *bag = ((uint32_t)1 << values) - 1U;
    }
    for (uint8_t k = 0; k < values; k++) {
        still = (uint8_t)(still + (*bag >> k & 1U));
    }
    for (uint8_t nth = (uint8_t)below(stream, still); (*bag >> bit & 1U) == 0 || nth > 0; bit++) {
        nth = (uint8_t)(nth - (*bag >> bit & 1U));
    }
    bit = (uint8_t)(given(site, least, most, least + bit) - least);
    while ((*bag >> bit & 1U) == 0) {
        bit = (uint8_t)((bit + 1U) % values);
    }
    *bag &= ~((uint32_t)1 << bit);
    return note(site, least + bit);
}
