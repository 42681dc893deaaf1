//! From the raw level of a button to the edges that the rules see.
//!
//! A press counts on its first edge; then the contact may chatter for the lockout without being heard; and a button must be
//! seen up before it can be pressed again. A button that is down when play begins counts for nothing until it has been let
//! go. Common practice: accept at once, ignore 30 to 50 ms, require release.

/// How long a contact may chatter after a change, in milliseconds.
pub const LOCKOUT_MS: u32 = 30;

/// One button's conditioning, one tick at a time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conditioner {
    down: bool,
    wait: u32,
    lockout: u32,
}

/// What the rules see of a button in one tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conditioned {
    /// An edge: pressed just now.
    pub pressed: bool,
    /// Down.
    pub held: bool,
}

impl Conditioner {
    /// A button at the start of play: unheard until it has been seen up once.
    pub fn new(tick_ms: u32) -> Self {
        Self { down: true, wait: 0, lockout: LOCKOUT_MS.div_ceil(tick_ms.max(1)) }.unheard()
    }

    /// Down, but not yet counted as held.
    fn unheard(self) -> Self {
        Self { wait: u32::MAX, ..self }
    }

    /// Takes the raw level of one tick (tick 0 included).
    pub fn tick(&mut self, raw: bool) -> Conditioned {
        if self.wait == u32::MAX {
            // Down since before the start: wait for the first time it is up.
            if !raw {
                self.down = false;
                self.wait = 0;
            }
            return Conditioned { pressed: false, held: false };
        }
        if self.wait > 0 {
            self.wait -= 1;
        } else if raw != self.down {
            self.down = raw;
            self.wait = self.lockout;
            return Conditioned { pressed: raw, held: raw };
        }
        Conditioned { pressed: false, held: self.down }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plays a picture of levels (`#` down, `.` up) and draws what the rules see (`P` edge, `h` held, `.` up).
    fn seen(levels: &str) -> String {
        let mut button = Conditioner::new(10);
        levels
            .chars()
            .map(|level| match button.tick(level == '#') {
                Conditioned { pressed: true, .. } => 'P',
                Conditioned { held: true, .. } => 'h',
                _ => '.',
            })
            .collect()
    }

    #[test]
    fn a_press_counts_at_once_and_chatter_does_not() {
        assert_eq!(seen("..######...."), "..Phhhhh....");
        assert_eq!(seen("..#.#.####......"), "..Phhhhhhh......");
        // A tap of one tick counts as held for the lockout, and its release has a lockout of its own.
        assert_eq!(seen(".#......."), ".Phhh....");
        assert_eq!(seen(".#......#"), ".Phhh....", "released at tick 5, so deaf in ticks 6 to 8");
        assert_eq!(seen(".#.......#"), ".Phhh....P");
    }

    #[test]
    fn a_button_down_at_the_start_must_first_be_let_go() {
        assert_eq!(seen("####..##"), "......Ph");
        assert_eq!(seen("#########"), ".........");
    }
}
