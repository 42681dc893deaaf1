//! What the tables of moves hold and are asked by: machines as numbers, inputs as bits, moves as what comes of both.

/// Bits that name what a machine is, in the key under which its moves are found; views share the rest.
pub(super) const LOCAL_BITS: u32 = 24;

/// The engine cannot take these rules: the referee answers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unfit;

/// A machine's move.
#[derive(Clone, Copy, Debug)]
pub(super) struct Move {
    pub(super) local: u32,
    pub(super) simulated: u64,
    /// It stores what does not fit.
    pub(super) misfit: bool,
}

/// All moves for one local, view and set of inputs; `leaves` is 0 as long as they are not worked out.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Moves {
    from: u32,
    len: u32,
    /// Ticks that the referee works out for these moves, given that those of the machines before are chosen.
    pub(super) ticks: u32,
    /// Ways of picking, those counted that a bag turns into others.
    pub(super) leaves: u32,
}

/// An input that makes a difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Heard {
    Pressed(usize),
    Held(usize),
}

impl Heard {
    #[inline]
    pub(super) fn on(self, pressed: u64, held: u64) -> bool {
        match self {
            Self::Pressed(b) => pressed >> b & 1 == 1,
            Self::Held(b) => held >> b & 1 == 1,
        }
    }
}

impl Moves {
    /// Those from one place to another among all that were worked out.
    pub(super) fn new(from: usize, to: usize, (ticks, leaves): (u32, u32)) -> Result<Self, Unfit> {
        let from = u32::try_from(from).map_err(|_| Unfit)?;
        let len = u32::try_from(to).map_err(|_| Unfit)? - from;
        Ok(Self { from, len, ticks, leaves })
    }

    pub(super) fn of(self, all: &[Move]) -> &[Move] {
        &all[self.from as usize..(self.from + self.len) as usize]
    }
}

/// What all machines are, by number, and what they share.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Joint {
    pub(super) locals: Vec<u32>,
    pub(super) simulated: u64,
    pub(super) held: u64,
    pub(super) settings: u32,
}

/// Flags as bits.
pub(super) fn mask(flags: &[bool]) -> u64 {
    flags.iter().enumerate().fold(0, |mask, (b, on)| mask | u64::from(*on) << b)
}
