//! What the emulator calls back with.

use simavr_ffi as sim;
use std::ffi::c_void;

/// A byte sent over SPI.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpiByte {
    /// When it was out.
    pub cycle: u64,
    /// The byte.
    pub byte: u8,
}

/// A pin whose level changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PinChange {
    /// When.
    pub cycle: u64,
    /// Its port: `B`, `C` or `D`.
    pub port: char,
    /// Its bit.
    pub bit: u8,
    /// Its new level.
    pub level: bool,
}

/// Collects what happens.
#[derive(Debug)]
pub struct Events {
    avr: *mut sim::avr_t,
    spi: Vec<SpiByte>,
    pins: Vec<PinChange>,
    levels: [[Option<bool>; 8]; 3],
}

impl Events {
    pub(crate) fn new(avr: *mut sim::avr_t) -> Self {
        Self { avr, spi: Vec::new(), pins: Vec::new(), levels: [[None; 8]; 3] }
    }

    pub(crate) fn take(&mut self) -> (Vec<SpiByte>, Vec<PinChange>) {
        (std::mem::take(&mut self.spi), std::mem::take(&mut self.pins))
    }

    fn cycle(&self) -> u64 {
        // SAFETY: the emulator is alive whenever it calls back.
        unsafe { (*self.avr).cycle }
    }
}

/// A byte has gone out.
pub(crate) unsafe extern "C" fn on_spi(_irq: *mut sim::avr_irq_t, value: u32, param: *mut c_void) {
    // SAFETY: registered with the address of an `Events` that outlives the emulator; nobody else holds it meanwhile.
    let events = unsafe { &mut *param.cast::<Events>() };
    let cycle = events.cycle();
    events.spi.push(SpiByte { cycle, byte: u8::try_from(value & 0xFF).unwrap_or(0) });
}

type Handler = unsafe extern "C" fn(*mut sim::avr_irq_t, u32, *mut c_void);

/// A pin has been written, by the program or from outside; only changes are kept.
unsafe extern "C" fn on_pin<const PORT: usize, const BIT: usize>(
    _: *mut sim::avr_irq_t,
    value: u32,
    param: *mut c_void,
) {
    // SAFETY: as above.
    let events = unsafe { &mut *param.cast::<Events>() };
    let level = value & 0xFF != 0;
    if events.levels[PORT][BIT] != Some(level) {
        events.levels[PORT][BIT] = Some(level);
        let cycle = events.cycle();
        let bit = u8::try_from(BIT).unwrap_or(u8::MAX);
        events.pins.push(PinChange { cycle, port: ['B', 'C', 'D'][PORT], bit, level });
    }
}

const fn handlers<const PORT: usize>() -> [Handler; 8] {
    [
        on_pin::<PORT, 0>,
        on_pin::<PORT, 1>,
        on_pin::<PORT, 2>,
        on_pin::<PORT, 3>,
        on_pin::<PORT, 4>,
        on_pin::<PORT, 5>,
        on_pin::<PORT, 6>,
        on_pin::<PORT, 7>,
    ]
}

/// One for each bit of port B.
pub(crate) const ON_B: [Handler; 8] = handlers::<0>();
/// One for each bit of port C.
pub(crate) const ON_C: [Handler; 8] = handlers::<1>();
/// One for each bit of port D.
pub(crate) const ON_D: [Handler; 8] = handlers::<2>();
