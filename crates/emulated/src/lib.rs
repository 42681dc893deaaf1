//! An emulated ATmega328P for tests; never linked into what users run.
//!
//! A small safe face over simavr (GPL-3.0), through the crate `simavr-ffi`: load a program, run it, move its pins, look at
//! its memory, and see every byte it sends and every pin it changes, each with its cycle.

mod events;

pub use events::{Events, PinChange, SpiByte};

use simavr_ffi as sim;
use std::ffi::{CString, c_void};
use std::path::Path;

/// The chip that is emulated.
const CHIP: &std::ffi::CStr = c"atmega328p";
/// Address of the register that holds the causes of the last reset (data sheet, "Register Summary").
const MCUSR: u16 = 0x54;
/// The ports of the chip.
const PORTS: [char; 3] = ['B', 'C', 'D'];

/// Causes of a reset, as bits of MCUSR.
pub mod cause {
    /// The supply came up.
    pub const POWER_ON: u8 = 1;
    /// The reset pin.
    pub const PIN: u8 = 2;
    /// The supply sagged.
    pub const BROWN_OUT: u8 = 4;
    /// The watchdog.
    pub const WATCHDOG: u8 = 8;
}

/// What went wrong with the emulated controller.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble(pub String);

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Trouble {}

/// A running controller.
#[derive(Debug)]
pub struct Controller {
    avr: *mut sim::avr_t,
    /// Filled by the emulator's callbacks, which hold its address: never moved, freed after the emulator ends.
    events: *mut Events,
    /// Pins held from outside, for each of [`PORTS`]: which, and at what level.
    held: [(u8, u8); PORTS.len()],
}

/// The emulator's four-letter codes for what can be asked of a part of the chip.
fn code(letters: [u8; 4]) -> u32 {
    u32::from_be_bytes(letters)
}

impl Controller {
    /// Loads a program (ELF) into a new controller, powered on at 16 MHz.
    pub fn load(elf: &Path) -> Result<Self, Trouble> {
        let trouble = |words: String| Trouble(format!("{}: {words}", elf.display()));
        let path =
            CString::new(elf.as_os_str().as_encoded_bytes()).map_err(|why| trouble(why.to_string()))?;
        // SAFETY: the emulator's own order of calls; the structure is plain data for which zeros are a valid start, the
        // strings end in a zero and outlive the calls, and every pointer is checked before it is used.
        let avr = unsafe {
            let mut firmware: sim::elf_firmware_t = std::mem::zeroed();
            if sim::elf_read_firmware(path.as_ptr(), &raw mut firmware) != 0 {
                return Err(trouble("no program that the emulator can read".to_owned()));
            }
            let avr = sim::avr_make_mcu_by_name(CHIP.as_ptr());
            if avr.is_null() {
                return Err(trouble("the emulator does not know the chip".to_owned()));
            }
            sim::avr_init(avr);
            (*avr).frequency = 16_000_000;
            (*avr).set_log(1);
            sim::avr_load_firmware(avr, &raw mut firmware);
            avr
        };
        let events = Box::into_raw(Box::new(Events::new(avr)));
        let mut controller = Self { avr, events, held: [(0, 0); PORTS.len()] };
        controller.listen();
        controller.reset(cause::POWER_ON);
        Ok(controller)
    }

    fn listen(&mut self) {
        // SAFETY: `avr` is alive; the callbacks get the address of `events`, which lives as long as the emulator.
        unsafe {
            let spi = sim::avr_io_getirq(self.avr, code(*b"spi\0"), 1);
            sim::avr_irq_register_notify(spi, Some(events::on_spi), self.events.cast::<c_void>());
            for (letter, handlers) in [(b'B', events::ON_B), (b'C', events::ON_C), (b'D', events::ON_D)] {
                for (bit, handler) in (0_i32..).zip(handlers) {
                    let pin = sim::avr_io_getirq(self.avr, code([b'i', b'o', b'g', letter]), bit);
                    if !pin.is_null() {
                        sim::avr_irq_register_notify(pin, Some(handler), self.events.cast::<c_void>());
                    }
                }
            }
        }
    }

    /// Resets the controller for the given [`cause`]; memory and pins held from outside stay.
    pub fn reset(&mut self, cause: u8) {
        // SAFETY: `avr` is alive.
        unsafe { sim::avr_reset(self.avr) };
        self.write_memory(MCUSR, &[cause]);
        for port in 0..PORTS.len() {
            self.pull(port);
        }
    }

    /// Runs for at least so many cycles.
    pub fn run_cycles(&mut self, cycles: u64) -> Result<(), Trouble> {
        let end = self.cycle() + cycles;
        while self.cycle() < end {
            self.step()?;
        }
        Ok(())
    }

    /// Runs until a byte of memory has a value, or fails after so many cycles.
    pub fn run_until(&mut self, address: u16, value: u8, most_cycles: u64) -> Result<(), Trouble> {
        let end = self.cycle() + most_cycles;
        while self.byte(address) != value {
            if self.cycle() >= end {
                return Err(Trouble(format!("no answer within {most_cycles} cycles")));
            }
            self.step()?;
        }
        Ok(())
    }

    fn step(&mut self) -> Result<(), Trouble> {
        // SAFETY: `avr` is alive.
        let state = unsafe { sim::avr_run(self.avr) };
        let state = u32::try_from(state).unwrap_or(sim::cpu_Crashed);
        if state == sim::cpu_Done || state == sim::cpu_Crashed {
            return Err(Trouble(format!("the program ended or crashed at cycle {}", self.cycle())));
        }
        Ok(())
    }

    /// Cycles run since power on.
    pub fn cycle(&self) -> u64 {
        // SAFETY: `avr` is alive.
        unsafe { (*self.avr).cycle }
    }

    /// Holds a pin at a level from outside, as a button to ground or a wire would.
    pub fn set_pin(&mut self, port: char, bit: u8, level: bool) -> Result<(), Trouble> {
        let at = PORTS.iter().position(|&known| known == port).filter(|_| bit < 8);
        let at = at.ok_or_else(|| Trouble(format!("there is no pin P{port}{bit}")))?;
        let mask = 1 << bit;
        self.held[at].0 |= mask;
        self.held[at].1 = self.held[at].1 & !mask | if level { mask } else { 0 };
        self.pull(at);
        Ok(())
    }

    /// Tells the emulator of all held pins of a port, then of each one's level: the level alone would be let go of again
    /// as soon as the program writes to the port.
    fn pull(&mut self, at: usize) {
        let letter = PORTS.get(at).and_then(|&letter| u8::try_from(letter).ok()).unwrap_or(b'B');
        let (mask, value) = self.held[at];
        if mask == 0 {
            return;
        }
        // SAFETY: `avr` is alive; the structure is plain data that the call copies.
        unsafe {
            let mut external: sim::avr_ioport_external_t = std::mem::zeroed();
            external.set_name(letter.into());
            external.set_mask(mask.into());
            external.set_value(value.into());
            let set = code([b'i', b'o', b'p', letter]);
            sim::avr_ioctl(self.avr, set, (&raw mut external).cast::<c_void>());
            for bit in (0_u8..8).filter(|bit| mask & (1 << bit) != 0) {
                let pin = sim::avr_io_getirq(self.avr, code([b'i', b'o', b'g', letter]), bit.into());
                sim::avr_raise_irq(pin, u32::from(value >> bit & 1));
            }
        }
    }

    /// A byte of memory (registers first, as in the data sheet); 0 beyond the end.
    pub fn byte(&self, address: u16) -> u8 {
        // SAFETY: `avr` is alive and has `ramend + 1` bytes of data.
        unsafe { if address <= (*self.avr).ramend { *(*self.avr).data.add(address.into()) } else { 0 } }
    }

    /// Bytes of memory.
    pub fn memory(&self, address: u16, length: u16) -> Vec<u8> {
        (0..length).map(|k| self.byte(address.saturating_add(k))).collect()
    }

    /// Writes bytes into memory, without any of the effects that the program's own writing to a register would have.
    pub fn write_memory(&mut self, address: u16, bytes: &[u8]) {
        for (at, &byte) in (address..).zip(bytes) {
            // SAFETY: `avr` is alive and has `ramend + 1` bytes of data.
            unsafe {
                if at <= (*self.avr).ramend {
                    *(*self.avr).data.add(at.into()) = byte;
                }
            }
        }
    }

    /// Writes bytes into the memory that outlasts power, as if an earlier program had.
    pub fn write_eeprom(&mut self, at: u16, bytes: &[u8]) {
        let mut bytes = bytes.to_vec();
        // SAFETY: `avr` is alive; the emulator copies the bytes during the call and refuses what lies outside.
        unsafe {
            let mut part: sim::avr_eeprom_desc_t = std::mem::zeroed();
            part.ee = bytes.as_mut_ptr();
            part.offset = at;
            part.size = u32::try_from(bytes.len()).unwrap_or(0);
            sim::avr_ioctl(self.avr, code(*b"eesp"), (&raw mut part).cast::<c_void>());
        }
    }

    /// Bytes of the memory that outlasts power.
    pub fn eeprom(&self, at: u16, length: u16) -> Vec<u8> {
        let mut bytes = vec![0; length.into()];
        // SAFETY: `avr` is alive; the emulator copies as many bytes as there is room for and refuses what lies outside.
        unsafe {
            let mut part: sim::avr_eeprom_desc_t = std::mem::zeroed();
            part.ee = bytes.as_mut_ptr();
            part.offset = at;
            part.size = length.into();
            sim::avr_ioctl(self.avr, code(*b"eegp"), (&raw mut part).cast::<c_void>());
        }
        bytes
    }

    /// What has happened since it was last asked.
    pub fn take_events(&mut self) -> (Vec<SpiByte>, Vec<PinChange>) {
        // SAFETY: `events` is alive, and no callback runs outside `avr_run` and the calls above.
        unsafe { (*self.events).take() }
    }
}

impl Drop for Controller {
    fn drop(&mut self) {
        // SAFETY: both are alive and used by nobody afterwards; the callbacks end with the emulator.
        unsafe {
            sim::avr_terminate(self.avr);
            drop(Box::from_raw(self.events));
        }
    }
}
