//! The builder's names as names of C.

use rules::form::Form;
use std::collections::BTreeSet;

/// What C keeps for itself, and what the generated code calls its own things inside a structure.
const TAKEN: [&str; 53] = [
    "alignas",
    "alignof",
    "asm",
    "auto",
    "bool",
    "break",
    "case",
    "char",
    "const",
    "continue",
    "default",
    "do",
    "double",
    "else",
    "enum",
    "extern",
    "false",
    "float",
    "for",
    "goto",
    "if",
    "inline",
    "int",
    "long",
    "register",
    "restrict",
    "return",
    "short",
    "signed",
    "sizeof",
    "static",
    "struct",
    "switch",
    "true",
    "typedef",
    "union",
    "unsigned",
    "void",
    "volatile",
    "while",
    "state",
    "stream",
    "sent",
    "simulated",
    "playing",
    "settings",
    "spot",
    "rules_start",
    "sender",
    "typeof",
    "situation",
    "rules_frame",
    "rules_trial",
];

/// Names of one machine.
#[derive(Debug)]
pub(crate) struct MachineNames {
    /// Of its structure and its place in the situation.
    pub(crate) name: String,
    /// Of its states: `FOX_ASLEEP`.
    pub(crate) states: Vec<String>,
    /// Of its numbers.
    pub(crate) numbers: Vec<String>,
    /// Of its timers.
    pub(crate) timers: Vec<String>,
}

/// All names of a form.
#[derive(Debug)]
pub(crate) struct Names {
    /// Of the machines.
    pub(crate) machines: Vec<MachineNames>,
    /// Of the buttons: `BUTTON_WEST`.
    pub(crate) buttons: Vec<String>,
    /// Of the figures: `FIGURE_FOX`.
    pub(crate) figures: Vec<String>,
    /// Of the poses of each figure: `POSE_FOX_WAVING`.
    pub(crate) poses: Vec<Vec<String>>,
    /// Of the spots: `SPOT_CLUB_1`.
    pub(crate) spots: Vec<String>,
    /// Of the digits: `DIGITS_RALLY`.
    pub(crate) digits: Vec<String>,
    /// Of the sounds: `SOUND_SPLASH`.
    pub(crate) sounds: Vec<String>,
    /// Of the kept numbers' places: `KEPT_CLUB_BEST`.
    pub(crate) kept: Vec<String>,
    /// Of the settings: `speed`, and their places: `SETTING_SPEED`.
    pub(crate) settings: Vec<(String, String)>,
    /// Of the messages with their senders: `hello_from_fox`.
    pub(crate) messages: Vec<String>,
}

/// Names that are given out once each.
#[derive(Debug, Default)]
struct Scope(BTreeSet<String>);

impl Scope {
    fn of<'a>(taken: impl IntoIterator<Item = &'a str>) -> Self {
        Self(taken.into_iter().map(str::to_owned).collect())
    }

    /// The wanted name, or with a number behind it where it is taken.
    fn give(&mut self, wanted: &str) -> String {
        let mut name = wanted.to_owned();
        let mut count = 2_u32;
        while !self.0.insert(name.clone()) {
            name = format!("{wanted}_{count}");
            count += 1;
        }
        name
    }
}

/// A name with nothing in it but small letters, digits and `_`, beginning with a letter.
fn plain(name: &str) -> String {
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '_' }).collect();
    if plain.starts_with(|c: char| c.is_ascii_lowercase()) { plain } else { format!("n{plain}") }
}

/// Macros of `<stdint.h>` and of the generated code that a state's name could meet.
fn constants() -> Scope {
    let mut scope = Scope::of([
        "TIMER_OFF",
        "TIMER_DUE",
        "NO_TIE",
        "RULES_KEPT",
        "RULES_SETTINGS",
        "RULES_SOUNDS",
        "RULES_FIGURES",
        "RULES_SPOTS",
        "RULES_DIGITS",
        "POSE_DARK",
    ]);
    for kind in ["INT", "UINT"] {
        for shape in ["", "_LEAST", "_FAST"] {
            for bits in ["8", "16", "32", "64", "PTR", "MAX"] {
                for end in ["_MIN", "_MAX", "_C", "_WIDTH"] {
                    scope.0.insert(format!("{kind}{shape}{bits}{end}"));
                }
            }
        }
    }
    for rest in ["SIZE_MAX", "PTRDIFF_MIN", "PTRDIFF_MAX", "WCHAR_MIN", "WCHAR_MAX", "WINT_MIN", "WINT_MAX"] {
        scope.0.insert(rest.to_owned());
    }
    scope
}

impl Names {
    /// The names of a form.
    pub(crate) fn of(form: &Form) -> Self {
        let mut upper = constants();
        let mut give =
            |prefix: &str, name: &str| upper.give(&format!("{prefix}_{}", plain(name)).to_uppercase());
        let buttons = form.buttons.iter().map(|name| give("button", name)).collect();
        let figures = form.figures.iter().map(|figure| give("figure", &figure.name)).collect();
        let mut poses = Vec::new();
        for figure in &form.figures {
            let prefix = format!("pose_{}", plain(&figure.name));
            poses.push(figure.poses.iter().map(|pose| give(&prefix, pose)).collect());
        }
        let spots = form.spots.iter().map(|name| give("spot", name)).collect();
        let digits = form.digits.iter().map(|digits| give("digits", &digits.name)).collect();
        let sounds = form.sounds.iter().map(|name| give("sound", name)).collect();
        let kept = form.kept().into_iter().map(|(m, i)| {
            let machine = &form.machines[m];
            give(&format!("kept_{}", plain(&machine.name)), &machine.numbers[i].name)
        });
        let kept = kept.collect();
        let mut own = Scope::of(TAKEN);
        let settings = form
            .settings
            .iter()
            .map(|setting| (own.give(&plain(&setting.name)), give("setting", &setting.name)))
            .collect();
        let mut tags = Scope::of(TAKEN);
        let mut machines = Vec::new();
        for machine in &form.machines {
            let name = tags.give(&plain(&machine.name));
            let states = machine.states.iter().map(|state| give(&name, &state.name)).collect();
            let mut own = Scope::of(TAKEN);
            let numbers = machine.numbers.iter().map(|number| own.give(&plain(&number.name))).collect();
            let timers = machine.timers.iter().map(|timer| own.give(&plain(&timer.name))).collect();
            machines.push(MachineNames { name, states, numbers, timers });
        }
        let mut bits = Scope::of(TAKEN);
        let messages = form
            .messages
            .iter()
            .map(|message| {
                bits.give(&format!("{}_from_{}", plain(&message.name), machines[message.sender].name))
            })
            .collect();
        Self { machines, buttons, figures, poses, spots, digits, sounds, kept, settings, messages }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain_and_given_out_once() {
        assert_eq!(plain("juggler.west"), "juggler_west");
        assert_eq!(plain("7 clubs"), "n7_clubs");
        assert_eq!(plain("übung"), "n_bung");
        let mut scope = Scope::of(TAKEN);
        assert_eq!([scope.give("fox"), scope.give("fox"), scope.give("while")], ["fox", "fox_2", "while_2"]);
    }
}
