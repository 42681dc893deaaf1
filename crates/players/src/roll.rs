//! The roll call on the emulated controller, by its pins alone: what the test sheet says, step by step.

use crate::pins::{self, CYCLES_A_MS};
use crate::script::{Script, bytes};
use emulated::Controller;
use plan::Plan;
use rules::form::Form;
use rules::step::Start;
use std::path::Path;

/// The service jumper, on port C.
const JUMPER: u8 = 0;
/// Frames in which a button that is let go of may still be lit: one that was on its way.
const LATE_FRAMES: usize = 1;
/// Long enough for six changes within a second to be allowed again, and for every relay to have rested.
const QUIET_MS: u64 = 1500;

/// Somebody at the controller.
#[derive(Debug)]
pub struct Bench<'a> {
    /// The controller.
    pub chip: Controller,
    plan: &'a Plan,
}

impl<'a> Bench<'a> {
    /// Power on, jumper open, nobody at the buttons, and the game has begun.
    ///
    /// # Errors
    /// What the emulator says.
    pub fn begin(program: &Path, plan: &'a Plan) -> Result<Self, String> {
        Ok(Self { chip: pins::powered(program, plan)?, plan })
    }

    /// Puts the jumper in or takes it out.
    ///
    /// # Errors
    /// What the emulator says.
    pub fn jumper(&mut self, closed: bool) -> Result<(), String> {
        self.chip.set_pin('C', JUMPER, !closed).map_err(|why| why.to_string())
    }

    /// Holds one button or none.
    ///
    /// # Errors
    /// What the emulator says.
    pub fn hold(&mut self, button: Option<usize>) -> Result<(), String> {
        let down: Vec<bool> = (0..self.plan.buttons.len()).map(|k| Some(k) == button).collect();
        pins::set(&mut self.chip, self.plan, &down)
    }

    /// Every frame that is sent meanwhile.
    ///
    /// # Errors
    /// What the emulator says.
    pub fn frames(&mut self, ms: u64) -> Result<Vec<Vec<u8>>, String> {
        self.chip.take_events();
        self.chip.run_cycles(ms * CYCLES_A_MS).map_err(|why| why.to_string())?;
        let (spi, pins) = self.chip.take_events();
        Ok(pins::latched(&spi, &pins).into_iter().map(|(_, sent)| sent).collect())
    }

    /// Arms the roll call: all is dark once the jumper has been closed for a second, and the limits let go. A button may be
    /// pressed in the game before, and be held on.
    ///
    /// # Errors
    /// What is not dark then.
    pub fn arm(&mut self, button: Option<usize>) -> Result<(), String> {
        self.jumper(false)?;
        self.frames(1100)?;
        self.jumper(true)?;
        self.frames(600)?;
        self.hold(button)?;
        self.frames(400 + QUIET_MS)?;
        self.is_dark("armed, nobody holds a button", 300)
    }

    /// Every frame is dark meanwhile.
    ///
    /// # Errors
    /// The first that is not.
    pub fn is_dark(&mut self, words: &str, ms: u64) -> Result<(), String> {
        match self.frames(ms)?.into_iter().find(|sent| sent.iter().any(|byte| *byte != 0)) {
            Some(sent) => Err(format!("{words}: {sent:02x?}")),
            None => Ok(()),
        }
    }

    /// Presses a button and holds it: the given channels are lit, and never anything else; let go of it: dark.
    ///
    /// # Errors
    /// What is not so.
    pub fn calls(&mut self, button: usize, (name, channels): (&str, &[usize])) -> Result<(), String> {
        let lit: Vec<bool> = (0..self.plan.channels.len()).map(|k| channels.contains(&k)).collect();
        let wanted = bytes(self.plan, &lit);
        let rest = self.rest_ms(channels);
        let only = |frames: &[Vec<u8>]| {
            let other = |sent: &&Vec<u8>| **sent != wanted && sent.iter().any(|byte| *byte != 0);
            frames
                .iter()
                .find(other)
                .map_or(Ok(()), |sent| Err(format!("{name}: {sent:02x?}, not {wanted:02x?}")))
        };
        self.hold(Some(button))?;
        let held = self.frames(200 + rest)?;
        only(&held)?;
        if held.last() != Some(&wanted) {
            return Err(format!("{name}: {:02x?} at last, not {wanted:02x?}", held.last()));
        }
        self.hold(None)?;
        let after = self.frames(200 + rest)?;
        only(&after)?;
        let late = after.iter().filter(|sent| **sent == wanted).count();
        if late > LATE_FRAMES + usize::try_from(rest / 10).unwrap_or(0) {
            return Err(format!("{name}: still lit {late} frames after it was let go of"));
        }
        self.is_dark(name, 50)
    }

    /// How long the relays among these channels rest between two changes.
    fn rest_ms(&self, channels: &[usize]) -> u64 {
        let outlets = channels.iter().filter_map(|&k| self.plan.channels[k].outlet.as_ref());
        outlets
            .map(|outlet| u64::from(self.plan.switch_boxes[outlet.switch_box].shortest_ms))
            .max()
            .unwrap_or(0)
    }

    /// Takes the jumper out, with these buttons as they are: dark, then the game from its beginning.
    ///
    /// # Errors
    /// What is not so.
    pub fn leaves(&mut self, form: &Form, start: &Start, button: Option<usize>) -> Result<(), String> {
        let down: Vec<bool> = (0..self.plan.buttons.len()).map(|k| Some(k) == button).collect();
        let script: Script = vec![down; 200];
        let wanted: Vec<Vec<u8>> = pins::expected_from(self.plan, form, &script, start)
            .into_iter()
            .map(|tick| tick.allowed)
            .collect();
        if wanted.iter().all(|sent| *sent == wanted[0]) && wanted[0].iter().all(|byte| *byte == 0) {
            return Err("the beginning of the game is dark: nothing would be seen".to_owned());
        }
        let mut got = self.frames(20)?.split_off(1);
        self.jumper(false)?;
        got.extend(self.frames(2500)?);
        let dark = got.iter().position(|sent| sent.iter().all(|byte| *byte == 0));
        // What went dark a tick ago may have to rest before it is lit again.
        let all: Vec<usize> = (0..self.plan.channels.len()).collect();
        let rest = usize::try_from(self.rest_ms(&all).div_ceil(u64::from(form.tick_ms))).unwrap_or(0);
        let anew = |n: &usize| got.get(n + rest..).is_some_and(|got| got.starts_with(&wanted[rest..]));
        let begins = dark.and_then(|from| (from + 1..from + 20).find(anew));
        match (dark, begins) {
            (Some(dark), Some(_)) if dark <= 1 + LATE_FRAMES => Ok(()),
            _ => Err(format!("jumper out: dark at {dark:?}, the game from its beginning at {begins:?}")),
        }
    }
}

/// Everything that the test sheet promises of the roll call.
///
/// # Errors
/// The first thing that is not so.
pub fn called_as_the_sheet_says(program: &Path, plan: &Plan, form: &Form) -> Result<(), String> {
    let all: Vec<usize> = (0..plan.channels.len()).collect();
    let mut bench = Bench::begin(program, plan)?;
    let before = bench.frames(1500)?;
    if before.iter().all(|sent| sent.iter().all(|byte| *byte == 0)) {
        return Err("nothing is lit before the roll call: nothing would be seen".to_owned());
    }
    // Half a second is no arming: the game goes on.
    bench.jumper(true)?;
    if bench.frames(500)?.iter().any(|sent| sent.iter().all(|byte| *byte == 0)) {
        return Err("half a second arms it".to_owned());
    }
    // A button that is down when it is armed counts for nothing until it has been let go of.
    bench.arm(Some(0))?;
    bench.hold(None)?;
    bench.is_dark("let go of what was held before", 100)?;
    // One back from the beginning is the last step, if there is a button for it.
    let last = ("all together", all.as_slice());
    if plan.buttons.len() > 1 {
        bench.calls(1, last)?;
        bench.frames(QUIET_MS)?;
    }
    for (k, channel) in plan.channels.iter().enumerate() {
        bench.calls(0, (&channel.label, &[k]))?;
        bench.frames(150)?;
    }
    bench.frames(QUIET_MS)?;
    bench.calls(0, last)?;
    bench.frames(QUIET_MS)?;
    if let Some(&end) = all.last().filter(|_| plan.buttons.len() > 1) {
        bench.calls(1, ("one back", &[end]))?;
        bench.frames(QUIET_MS)?;
        bench.calls(0, last)?;
        bench.frames(QUIET_MS)?;
    }
    bench.calls(0, ("the first one again", &[0]))?;
    // Taken out while it is lit and the button held: dark at once, the game anew, and the button is not heard.
    bench.hold(Some(0))?;
    bench.frames(QUIET_MS)?;
    bench.leaves(form, &Start::default(), Some(0))
}
