/* Random picks: one stream for each machine (xorshift 13, 17, 5), values from its high end. */
#ifdef LAMPWRIGHT_TRIAL
struct rules_trial rules_trial;
#define NOTE_NO_PICKS() (rules_trial.picked = 0)

/* A trial may give a value in place of the picked one, and sees what was picked. */
static int32_t note_pick(uint16_t site, int32_t least, int32_t most, int32_t value)
{
    if (rules_trial.given[site]) {
        value = hold_wide(rules_trial.value[site], least, most);
    }
    if (rules_trial.picked < RULES_PICK_SITES) {
        rules_trial.picked_site[rules_trial.picked] = site;
        rules_trial.picked_value[rules_trial.picked] = value;
        rules_trial.picked++;
    }
    return value;
}
#else
#define NOTE_NO_PICKS() ((void)0)
#define note_pick(site, least, most, value) (value)
#endif

/* A random whole number: Marsaglia's xorshift 13, 17, 5, and the high half of word times values, worked out in 32 bits. */
static int32_t pick(uint32_t *stream, uint16_t site, int32_t least, int32_t most)
{
    uint32_t word = *stream;
    word ^= word << 13;
    word ^= word >> 17;
    word ^= word << 5;
    *stream = word;
    const uint32_t values = (uint32_t)(most - least) + 1U;
    const uint32_t low = (word & 0xFFFFU) * values;
    const uint32_t above = ((word >> 16) * values + (low >> 16)) >> 16;
    (void)site;
    return note_pick(site, least, most, least + (int32_t)above);
}
