//! `limits.c`: what belongs together, and what each source gives, from the plan.

use crate::fit::Unfit;
use crate::wiring_c::{bytes, place};
use crate::writer::{Writer, comment};
use plan::{Channel, FlashField, Flashes, LitBy, Plan};
use rules::form::Form;

/// Longest that anything is lit without a break where the plan names no nights: our threshold.
const NIGHT_MINUTES: u32 = 12 * 60;
/// Room beyond the longest night, for a timer that runs early: our threshold.
const ROOM_MINUTES: u32 = 60;
/// Most groups and outputs that a byte counts.
const MOST: usize = 255;

/// A share of a field of view, in whole parts.
const PARTS: f64 = 64.0;
/// Most fields that a byte counts.
const MOST_FIELDS: usize = 255;

/// Channels that belong together.
struct Group<'a> {
    of: Flashes,
    name: String,
    channels: Vec<&'a Channel>,
    rest_ticks: u32,
}

/// A supply or a circuit and what it gives.
struct Source {
    name: String,
    most_ma: u32,
}

/// Who a channel belongs to.
fn owner(lit_by: &LitBy) -> Flashes {
    match lit_by {
        LitBy::Poses { figure, .. } => Flashes::Figure { figure: *figure },
        LitBy::Spot { spot } => Flashes::Spot { spot: *spot },
        LitBy::Segment { digits, .. } => Flashes::Digits { digits: *digits },
    }
}

fn name(owner: Flashes, form: &Form) -> String {
    let name = match owner {
        Flashes::Figure { figure } => form.figures.get(figure).map(|figure| &figure.name),
        Flashes::Spot { spot } => form.spots.get(spot),
        Flashes::Digits { digits } => form.digits.get(digits).map(|digits| &digits.name),
    };
    name.cloned().unwrap_or_default()
}

fn groups<'a>(plan: &'a Plan, form: &Form) -> Vec<Group<'a>> {
    let mut owners: Vec<Flashes> = plan.channels.iter().map(|channel| owner(&channel.lit_by)).collect();
    owners.sort_unstable();
    owners.dedup();
    let group = |one: Flashes| {
        let channels: Vec<&Channel> =
            plan.channels.iter().filter(|channel| owner(&channel.lit_by) == one).collect();
        let rest = channels.iter().filter_map(|channel| channel.outlet.as_ref());
        let rest = rest.filter_map(|outlet| plan.switch_boxes.get(outlet.switch_box));
        let rest_ms = rest.map(|part| part.shortest_ms).max().unwrap_or(0);
        Group { of: one, name: name(one, form), channels, rest_ticks: rest_ms.div_ceil(form.tick_ms.max(1)) }
    };
    owners.into_iter().map(group).collect()
}

/// Milliamperes as whole numbers that 16 bits hold; rounded to the nearest, so that sums come out as the plan's.
fn milliamperes(amperes: f64) -> u32 {
    (0..=65_535_u32).find(|&ma| f64::from(ma) + 0.5 > amperes * 1000.0).unwrap_or(65_535)
}

fn sources(plan: &Plan) -> Vec<Source> {
    let lights = (plan.supply.rated_a - controller(plan)).max(0.0);
    let supply = Source { name: format!("supply {}", plan.supply.part), most_ma: milliamperes(lights) };
    let circuit = |circuit: &plan::CircuitUse| Source {
        name: format!("circuit {}", circuit.name),
        most_ma: milliamperes(circuit.allowed_a),
    };
    std::iter::once(supply).chain(plan.circuits.iter().map(circuit)).collect()
}

/// What the supply needs beside the lights.
fn controller(plan: &Plan) -> f64 {
    let low = plan.channels.iter().filter(|channel| channel.outlet.is_none());
    let lights: f64 = low.map(|channel| channel.current_a).sum();
    (plan.supply.needed_a - lights).max(0.0)
}

/// The source of a channel, by position; none for an outlet on no circuit.
fn source(plan: &Plan, channel: &Channel) -> Option<usize> {
    let Some(outlet) = &channel.outlet else { return Some(0) };
    let circuit = &plan.switch_boxes.get(outlet.switch_box)?.circuit;
    plan.circuits.iter().position(|known| known.name == *circuit).map(|at| at + 1)
}

/// Minutes of the longest night and an hour.
fn longest_minutes(plan: &Plan) -> u32 {
    let minutes = |time: &str| -> Option<u32> {
        let (hours, minutes) = time.split_once(':')?;
        Some(hours.parse::<u32>().ok()? * 60 + minutes.parse::<u32>().ok()?)
    };
    let night = |night: &plan::Night| {
        let (on, off) = (minutes(&night.on)?, minutes(&night.off)?);
        Some((off + 24 * 60 - on) % (24 * 60))
    };
    let longest = plan.season.iter().flat_map(|season| &season.nights).filter_map(night).max();
    longest.map_or(NIGHT_MINUTES, |longest| longest + ROOM_MINUTES)
}

/// The source.
pub(crate) fn limits(plan: &Plan, form: &Form) -> Result<String, Unfit> {
    let (groups, sources) = (groups(plan, form), sources(plan));
    let all: u32 = plan.boards.iter().map(bytes).sum();
    if groups.len() > MOST || all as usize * 8 > MOST {
        return Err(Unfit("more outputs than the program can hold within limits".to_owned()));
    }
    if plan.flashing.len() > MOST_FIELDS {
        return Err(Unfit("more fields of view than the program can keep an eye on".to_owned()));
    }
    let second = 1000_u32.div_ceil(form.tick_ms.max(1));
    let rest = groups.iter().map(|group| group.rest_ticks).max().unwrap_or(0);
    if rest > 255 {
        return Err(Unfit("a switch box has to rest for longer than the program counts".to_owned()));
    }
    let old = second.max(rest);
    let minutes = longest_minutes(plan);
    let words = format!("{} h {} min", minutes / 60, minutes % 60);
    Ok(include_str!("templates/limits.c")
        .replace("@SECOND@", &second.to_string())
        .replace("@LONGEST@", &(u64::from(minutes) * 60_000 / u64::from(form.tick_ms.max(1))).to_string())
        .replace("@LONGEST_WORDS@", &words)
        .replace("@FIELDS@", &plan.flashing.len().to_string())
        .replace("@GROUPS@", &groups.len().max(1).to_string())
        .replace("@SOURCES@", &sources.len().to_string())
        .replace("@AGE@", if old > 255 { "uint16_t" } else { "uint8_t" })
        .replace("@OLD@", &old.to_string())
        .replace("@TABLES@", &tables(plan, &groups, &sources, all.max(1))?))
}

fn tables(plan: &Plan, groups: &[Group<'_>], sources: &[Source], all: u32) -> Result<String, Unfit> {
    let mut out = Writer::default();
    out.comment("The outputs of each group, as bits.");
    out.open("TABLE uint8_t members[GROUPS][WIRING_BYTES] = {");
    for group in groups {
        let mut bits = vec![0_u8; all as usize];
        for channel in &group.channels {
            let (byte, bit) = place(plan, channel)?;
            if let Some(bits) = bits.get_mut(byte as usize) {
                *bits |= 1 << bit;
            }
        }
        let bits: Vec<String> = bits.iter().map(|bits| format!("0x{bits:02X}")).collect();
        out.line(&format!("{{ {} }}, {}", bits.join(", "), comment(&group.name)));
    }
    if groups.is_empty() {
        out.line("{ 0 },");
    }
    out.close("};");
    shares(&plan.flashing, groups, &mut out);
    out.comment("Ticks that a group rests between two changes.");
    let rests: Vec<String> = groups.iter().map(|group| group.rest_ticks.to_string()).collect();
    let rests = if rests.is_empty() { "0".to_owned() } else { rests.join(", ") };
    out.line(&format!("TABLE uint8_t rests[GROUPS] = {{ {rests} }};"));
    let mut fed: Vec<(u32, Option<usize>)> = vec![(0, None); all as usize * 8];
    for channel in &plan.channels {
        let (byte, bit) = place(plan, channel)?;
        if let Some(fed) = fed.get_mut((byte * 8 + bit) as usize) {
            *fed = (milliamperes(channel.current_a), source(plan, channel));
        }
    }
    let list = |words: Vec<String>| words.join(", ");
    out.comment("What each output takes, from which source, and the most that each source gives the lights.");
    let taken = list(fed.iter().map(|fed| fed.0.to_string()).collect());
    out.line(&format!("TABLE uint16_t milliamperes[OUTPUTS] = {{ {taken} }};"));
    let from = list(fed.iter().map(|fed| fed.1.map_or("255".to_owned(), |at| at.to_string())).collect());
    out.line(&format!("TABLE uint8_t source[OUTPUTS] = {{ {from} }};"));
    let most = list(sources.iter().map(|source| source.most_ma.to_string()).collect());
    let names = list(sources.iter().map(|source| source.name.clone()).collect());
    out.line(&format!("TABLE uint16_t most[SOURCES] = {{ {most} }}; {}", comment(&names)));
    Ok(out.finish())
}

/// How much of each field of view a group can change, in parts of what counts as flashing there.
fn shares(fields: &[FlashField], groups: &[Group<'_>], out: &mut Writer) {
    out.line("#if FIELDS > 0");
    out.comment(
        "How much of what counts as flashing each group can change, in 64ths, for each field of view.",
    );
    out.open("TABLE uint8_t shares[FIELDS][GROUPS] = {");
    for field in fields {
        let of = |group: &Group<'_>| {
            let share = field.shares.iter().find(|share| share.of == group.of);
            parts(share.map_or(0.0, |share| share.share)).to_string()
        };
        let list: Vec<String> = groups.iter().map(of).collect();
        out.line(&format!("{{ {} }},", list.join(", ")));
    }
    out.close("};");
    out.line("#endif");
}

/// A share in whole parts, rounded up.
fn parts(share: f64) -> u32 {
    (0..=64_u32).find(|&parts| f64::from(parts) + 1e-9 >= share * PARTS).unwrap_or(64)
}
