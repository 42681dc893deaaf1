// From the raw level of a button to the edges that the rules see, as `crates/rules/src/conditioner.rs` does it.
//
// A press counts on its first edge; then the contact may chatter for the lockout without being heard; and a button must
// be seen up before it can be pressed again. A button that is down when play begins counts for nothing until let go.

/** How long a contact may chatter after a change, in milliseconds. */
export const LOCKOUT_MS = 30;

/** One button's conditioning, one tick at a time. */
export class Conditioner {
  /** @param {number} tickMs length of a tick in milliseconds */
  constructor(tickMs) {
    this.heard = false;
    this.down = true;
    this.wait = 0;
    this.lockout = Math.ceil(LOCKOUT_MS / Math.max(tickMs, 1));
  }

  /**
   * Takes the raw level of one tick (tick 0 included).
   * @param {boolean} raw
   * @returns {{pressed: boolean, held: boolean}}
   */
  tick(raw) {
    if (!this.heard) {
      // Down since before the start: wait for the first time it is up.
      if (!raw) {
        this.heard = true;
        this.down = false;
      }
      return { pressed: false, held: false };
    }
    if (this.wait > 0) {
      this.wait -= 1;
    } else if (raw !== this.down) {
      this.down = raw;
      this.wait = this.lockout;
      return { pressed: raw, held: raw };
    }
    return { pressed: false, held: this.down };
  }
}
