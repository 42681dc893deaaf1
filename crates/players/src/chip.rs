//! The generated C on the emulated controller.

use crate::host::{STRICT, Watch, folder};
use crate::recording::{bits, hex};
use crate::tools::{command, run, write};
use emulated::{Controller, Trouble};
use rules::form::Form;
use rules::vectors::{TickIn, TickOut, Vector};
use std::path::{Path, PathBuf};

/// The program around the rules.
const HARNESS: &str = include_str!("../c/chip_harness.c");
/// Data addresses of the general purpose registers (data sheet, "Register Summary").
const GPIOR: [u16; 3] = [0x3E, 0x4A, 0x4B];
/// A tick of 10 ms has 160 000 cycles; a trial's tick works out the fingerprint besides.
const MOST_CYCLES: u64 = 2_000_000;

/// Compiles rules for the controller and plays the ticks on it.
///
/// # Errors
/// Where the program crashes or does not answer.
///
/// # Panics
/// Where the compiler is missing or refuses the C.
pub fn play(header: &str, source: &str, vector: &Vector, watch: Watch) -> Result<Vec<TickOut>, Trouble> {
    let folder = folder();
    let program = compile(folder.path(), header, source, watch);
    let mut chip = Controller::load(&program)?;
    // The address of the mailbox is never below the registers, so its high byte tells that the program is ready.
    while chip.byte(GPIOR[2]) == 0 {
        if chip.cycle() > MOST_CYCLES {
            return Err(Trouble("the program does not begin".to_owned()));
        }
        chip.run_cycles(100)?;
    }
    chip.run_cycles(100)?;
    let mailbox = u16::from_le_bytes([chip.byte(GPIOR[1]), chip.byte(GPIOR[2])]);
    let mut player = Player { chip, mailbox, form: &vector.form };
    player.start(&vector.values());
    vector.ticks.iter().enumerate().map(|(n, tick)| player.tick(n, tick)).collect()
}

fn compile(folder: &Path, header: &str, source: &str, watch: Watch) -> PathBuf {
    write(&folder.join("rules.h"), header);
    write(&folder.join("rules.c"), source);
    write(&folder.join("chip_harness.c"), HARNESS);
    let mut gcc = command("avr-gcc");
    if watch != Watch::Nothing {
        gcc.args(STRICT);
    }
    gcc.current_dir(folder).args([
        "-std=c11",
        "-Os",
        "-fno-tree-switch-conversion",
        "-mmcu=atmega328p",
        "-DLAMPWRIGHT_TRIAL",
    ]);
    run(gcc.args(["-o", "play.elf", "rules.c", "chip_harness.c"]));
    folder.join("play.elf")
}

struct Player<'a> {
    chip: Controller,
    mailbox: u16,
    form: &'a Form,
}

impl Player<'_> {
    fn tick(&mut self, n: usize, tick: &TickIn) -> Result<TickOut, Trouble> {
        self.chip.write_memory(self.mailbox, &bits(&tick.pressed).to_le_bytes());
        self.chip.write_memory(self.mailbox + 4, &bits(&tick.held).to_le_bytes());
        self.give(&tick.picks);
        self.chip.write_memory(GPIOR[0], &[if n == 0 { 1 } else { 2 }]);
        self.chip.run_until(GPIOR[0], 0, MOST_CYCLES)?;
        let form = self.form;
        let length = form.figures.len() + form.spots.len() + 5 * form.digits.len() + form.sounds.len();
        let frame = hex(&self.chip.memory(self.mailbox + 16, u16::try_from(length).unwrap_or(u16::MAX)));
        Ok(TickOut { frame, hash: u32::from_le_bytes(self.word(self.mailbox + 8)), picked: self.picked() })
    }

    /// Kept values and settings that are given, one after the other in what tick 0 starts from.
    fn start(&mut self, values: &[Option<i32>]) {
        let start = self.half(self.mailbox + 14);
        for (k, value) in values.iter().enumerate() {
            if let (Some(value), Ok(k)) = (value, u16::try_from(k)) {
                self.chip.write_memory(start + 4 * k, &value.to_le_bytes());
            }
        }
    }

    fn word(&self, address: u16) -> [u8; 4] {
        [0, 1, 2, 3].map(|k| self.chip.byte(address + k))
    }

    fn half(&self, address: u16) -> u16 {
        u16::from_le_bytes([self.chip.byte(address), self.chip.byte(address + 1)])
    }

    /// Where the trial's record of picks is, and how many places there are.
    fn trial(&self) -> (u16, u16) {
        (self.half(self.mailbox + 12), u16::try_from(self.form.pick_sites).unwrap_or(0))
    }

    fn give(&mut self, picks: &[(u32, i32)]) {
        let (trial, sites) = self.trial();
        for site in 0..sites {
            let given = picks.iter().find(|pick| pick.0 == u32::from(site));
            self.chip.write_memory(trial + site, &[u8::from(given.is_some())]);
            let value = given.map_or(0, |pick| pick.1);
            self.chip.write_memory(trial + sites + 4 * site, &value.to_le_bytes());
        }
    }

    fn picked(&self) -> Vec<(u32, i32)> {
        let (trial, sites) = self.trial();
        if sites == 0 {
            return Vec::new();
        }
        let count = trial + 5 * sites;
        let (site, value) = (count + 2, count + 2 + 2 * sites);
        (0..self.half(count).min(sites))
            .map(|k| (self.half(site + 2 * k).into(), i32::from_le_bytes(self.word(value + 4 * k))))
            .collect()
    }
}
