//! Strands: the current may stand on the label as watts, and what a mains strand is made of may be unknown.

use super::{Held, Part, Written, choice};
use crate::keys::HOLE;
use crate::{Light, Strand, Wave};
use finding::Fault;
use quantity::{ElectricCurrent, ElectricPotential, Power};

choice!(Light, "led" => Light::Led, "filament" => Light::Filament);
choice!(Wave, "full" => Wave::Full, "half" => Wave::Half);

/// The keys of a strand that are ratings.
const RATINGS: [&str; 12] = [
    "lamps",
    "pitch",
    "lead",
    "hole",
    "voltage",
    "current",
    "power",
    "light",
    "in-series",
    "lamp-voltage",
    "wave",
    "listed",
];

/// The current of a strand: from its label, or from power and voltage on it.
fn current(
    written: &Written<'_>,
    voltage: Option<ElectricPotential>,
    base: Option<&Strand>,
    faults: &mut Vec<Fault>,
) -> Option<ElectricCurrent> {
    let values = written.values;
    match (values.entry("current"), values.entry("power")) {
        (Some(_), Some(power)) => {
            let message = "a strand has `current` or `power`, not both, so that they cannot disagree";
            faults.push(Fault::new("part/both-ratings", Some(power.key.clone()), message));
            None
        }
        (None, Some(_)) => Some(Power::held(values, "power")? / voltage?),
        (Some(_), None) => Held::held(values, "current"),
        (None, None) => {
            if base.is_none() {
                let message = "`current` is missing: a strand needs the current or the power on its label";
                let fault = Fault::new("key/missing", Some(written.entry.key.clone()), message);
                faults
                    .push(fault.hint("add `current = \"0.34 A\"` or `power = \"4.8 W\"`, as its label says"));
            }
            base.map(|base| base.current)
        }
    }
}

impl Part for Strand {
    fn build(written: &Written<'_>, base: Option<&Self>, faults: &mut Vec<Fault>) -> Option<Self> {
        fn known<T: Held>(written: &Written<'_>, key: &str, base: Option<T>) -> Option<T> {
            T::held(written.values, key).or(base)
        }
        let voltage = known(written, "voltage", base.map(|base| base.voltage));
        let current = current(written, voltage, base, faults);
        let colour = written.colour(base.map(|base| base.colour.as_str()), faults);
        let mut source = written.source(base.map(|base| base.source.as_str()), &RATINGS);
        let hole = known(written, "hole", base.map(|base| base.hole));
        if hole.is_none() {
            source.push_str("; hole not measured: 5/16 in by default");
        }
        Some(Self {
            name: written.name.to_owned(),
            lamps: known(written, "lamps", base.map(|base| base.lamps))?,
            pitch: known(written, "pitch", base.map(|base| base.pitch))?,
            lead: known(written, "lead", base.map(|base| base.lead))?,
            hole: hole.or_else(|| quantity::length(HOLE).ok())?,
            voltage: voltage?,
            current: current?,
            colour,
            light: known(written, "light", base.map(|base| base.light)).unwrap_or_default(),
            in_series: known(written, "in-series", base.and_then(|base| base.in_series)),
            lamp_voltage: known(written, "lamp-voltage", base.and_then(|base| base.lamp_voltage)),
            wave: known(written, "wave", base.and_then(|base| base.wave)),
            listed: known(written, "listed", base.and_then(|base| base.listed.clone())),
            have: known(written, "have", base.map(|base| base.have)).unwrap_or(0),
            source,
        })
    }
}
