//! `store.c`: values that outlast power, for the rules at hand.

use crate::fit::Unfit;
use rules::form::Form;
use rules::hash::Fnv;

/// How long a value must stay before it is written: our threshold; a bout's numbers change more often.
const STAY_MS: u32 = 5000;
/// Most values of which at least two records fit into the memory.
const MOST_VALUES: usize = 120;

/// A number that stands for the kept values and settings with their ranges: records of other rules are not read.
fn layout(form: &Form) -> u16 {
    let mut hash = Fnv::default();
    let mut mix = |name: &str, min: i32, max: i32| {
        hash.bytes(name.as_bytes());
        hash.bytes(&min.to_le_bytes());
        hash.bytes(&max.to_le_bytes());
    };
    for (m, i) in form.kept() {
        let (machine, number) = (&form.machines[m], &form.machines[m].numbers[i]);
        mix(&format!("{}.{}", machine.name, number.name), number.min, number.max);
    }
    for setting in &form.settings {
        mix(&setting.name, setting.min, setting.max);
    }
    let value = hash.value();
    u16::try_from((value >> 16) ^ (value & 0xFFFF)).unwrap_or(u16::MAX)
}

/// The source.
pub(crate) fn store(form: &Form) -> Result<String, Unfit> {
    let kept = form.kept().len();
    if kept + form.settings.len() > MOST_VALUES {
        return Err(Unfit(format!("more than {MOST_VALUES} kept values and settings do not fit the memory")));
    }
    let take = match (kept, form.settings.len()) {
        (_, 0) => "            start->kept[v] = value;",
        (0, _) => "            start->setting[v] = value;",
        _ => {
            "            if (v < RULES_KEPT) {\n                start->kept[v] = value;\n            } else {\n                start->setting[v - RULES_KEPT] = value;\n            }"
        }
    };
    let list = |of: fn(&rules::form::Setting) -> i32| {
        let values: Vec<String> =
            form.settings.iter().map(|setting| crate::expr::constant(of(setting))).collect();
        values.join(", ")
    };
    Ok(include_str!("templates/store.c")
        .replace("@LAYOUT@", &layout(form).to_string())
        .replace("@STAY_MS@", &STAY_MS.to_string())
        .replace("@STAY@", &STAY_MS.div_ceil(form.tick_ms.max(1)).to_string())
        .replace("@LEAST@", &list(|setting| setting.min))
        .replace("@GREATEST@", &list(|setting| setting.max))
        .replace("@TAKE@", take))
}
