//! What each stop says: its news in at most six words, and one or two sentences.

use crate::Plan;
use crate::note::amperes;
use display::Display;
use quantity::Show as _;
use uom::si::f64::Length;
use uom::si::length::millimeter;

/// A count with its noun: `1 hole`, `2 holes`.
fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// News and sentence of a stop.
pub(super) fn words(plan: &Plan, display: &Display, name: &str) -> (String, String) {
    match name {
        "idea" => idea(display),
        "draw" => draw(plan),
        "drill" => drill(plan),
        "string" => string(plan),
        "hang" => hang(plan),
        "digits" => digits(plan),
        "switch" => switch(plan),
        "wire" => wire(plan),
        "power" => power(plan),
        "shelter" => (
            count(plan.enclosures.len(), "box or cover", "boxes and covers"),
            "Every cable enters from below with a drip loop; plugs stay off the ground.".to_owned(),
        ),
        "buy" => buy(plan),
        "program" => (
            "the same game, in C".to_owned(),
            "The program in the firmware folder is the game played here, tick for tick.".to_owned(),
        ),
        "try" => (
            count(plan.trials.len(), "trial", "trials"),
            "On the kitchen table first: the same program, the real buttons, one LED for each output."
                .to_owned(),
        ),
        "put up" => put_up(plan),
        "run" => run(plan),
        _ => (
            count(plan.put_up.len(), "step in reverse", "steps in reverse"),
            "The put-up card in reverse. Repair before packing, and label what you coil.".to_owned(),
        ),
    }
}

fn idea(display: &Display) -> (String, String) {
    let states: usize = display.form.machines.iter().map(|machine| machine.states.len()).sum();
    (
        format!("{}, ticks of {} ms", count(states, "state", "states"), display.form.tick_ms),
        "The rules are read and can be played. Press a button and watch.".to_owned(),
    )
}

fn draw(plan: &Plan) -> (String, String) {
    // Panels of one figure show the same drawing.
    let mut figures: Vec<_> = plan.panels.iter().collect();
    figures.sort_by(|a, b| a.figure.cmp(&b.figure));
    figures.dedup_by(|a, b| a.figure == b.figure);
    let poses: usize = figures.iter().map(|panel| panel.poses.len()).sum();
    let bunches: usize = figures.iter().map(|panel| panel.bunches.len()).sum();
    (
        format!("{}, {}", count(poses, "pose", "poses"), count(bunches, "bunch", "bunches")),
        match (bunches, poses) {
            (_, 1) => "The one pose is one bunch: all of it switches together.".to_owned(),
            (1, _) => format!("One bunch shows all {poses} poses: they light the same lines."),
            _ => format!(
                "{bunches} bunches show all {poses} poses: what is common to several poses is strung once."
            ),
        },
    )
}

fn drill(plan: &Plan) -> (String, String) {
    let holes: usize = plan.panels.iter().map(|panel| panel.holes.len()).sum();
    let twins = plan.panels.iter().filter(|panel| panel.twin_of.is_some()).count();
    let mut sentence =
        "Drill from the front, with a board behind the sheet. Holes are numbered in the order in which they are strung."
            .to_owned();
    if twins > 0 {
        sentence.push_str(" Twins are drilled in one go, the two sheets face to face.");
    }
    (count(holes, "hole", "holes"), sentence)
}

fn string(plan: &Plan) -> (String, String) {
    let strands = || plan.panels.iter().flat_map(|panel| &panel.strands);
    let parked: u32 = strands().flat_map(|strand| &strand.hops).map(|hop| hop.parked).sum();
    let spare: u32 = strands().map(|strand| strand.spare).sum();
    (
        format!(
            "{}, {}",
            count(strands().count(), "strand", "strands"),
            none_or(parked, "lamp parked", "lamps parked")
        ),
        format!("Start at the plug and follow the numbers, working from the back. {}", stays_over(spare)),
    )
}

/// A count with its noun, or `no lamps parked`.
fn none_or(number: u32, one: &str, many: &str) -> String {
    match usize::try_from(number).unwrap_or(usize::MAX) {
        0 => format!("no {many}"),
        number => count(number, one, many),
    }
}

/// What becomes of lamps beyond the last hole.
fn stays_over(spare: u32) -> String {
    match spare {
        0 => "No lamp stays over.".to_owned(),
        1 => "1 lamp stays over and is left behind the panel.".to_owned(),
        many => format!("{many} lamps stay over and are spread behind the panel, never bunched."),
    }
}

fn hang(plan: &Plan) -> (String, String) {
    let hung: usize = plan.spans.iter().map(|span| span.hung.len()).sum();
    let lowest = plan.spans.iter().map(|span| span.headroom_mm).fold(f64::INFINITY, f64::min);
    let news = format!("{hung} hung from {}", count(plan.spans.len(), "span", "spans"));
    if !lowest.is_finite() {
        return (news, "Nothing hangs in this display.".to_owned());
    }
    let headroom = Length::new::<millimeter>(lowest).show(plan.units);
    (
        news,
        format!(
            "Nothing hangs lower than {headroom} above the ground in still air. Cut each hanger to its own length."
        ),
    )
}

fn digits(plan: &Plan) -> (String, String) {
    let count_of: u32 = plan.digits.iter().map(|digits| digits.count).sum();
    let segments: usize = plan.digits.iter().flat_map(|digits| &digits.channels).map(Vec::len).sum();
    (
        format!("{}, {}", none_or(count_of, "digit", "digits"), count(segments, "segment", "segments")),
        "Every segment is rows of LEDs, each row with a resistor of its own.".to_owned(),
    )
}

fn switch(plan: &Plan) -> (String, String) {
    let outlets = plan.channels.iter().filter(|channel| channel.outlet.is_some()).count();
    if outlets == 0 {
        return (
            count(plan.channels.len(), "channel", "channels"),
            "All switching is on the low-voltage side. Nothing here opens or switches mains.".to_owned(),
        );
    }
    (
        format!("{}, {outlets} on mains", count(plan.channels.len(), "channel", "channels")),
        "Mains is switched only by complete, listed boxes, which stay closed; everything else is low voltage.".to_owned(),
    )
}

fn wire(plan: &Plan) -> (String, String) {
    let conductors: usize = plan.cables.iter().map(|cable| cable.conductors.len()).sum();
    (
        format!(
            "{}, {}",
            count(plan.cables.len(), "cable", "cables"),
            count(conductors, "conductor", "conductors")
        ),
        "Every conductor has the one its current comes back on beside it.".to_owned(),
    )
}

fn power(plan: &Plan) -> (String, String) {
    let needed = amperes(plan.supply.needed_a);
    let mut sentence =
        format!("With everything lit at once the supply gives {needed} at {} V.", plan.supply.voltage_v);
    for circuit in &plan.circuits {
        sentence.push_str(&format!(
            " Circuit {} carries {} of the {} allowed.",
            circuit.name,
            amperes(circuit.all_lit_a),
            amperes(circuit.allowed_a)
        ));
    }
    (format!("{needed} of {}", amperes(plan.supply.rated_a)), sentence)
}

fn buy(plan: &Plan) -> (String, String) {
    let strands: u32 = plan.parts.iter().filter(|line| line.unit == "strand").map(|line| line.buy).sum();
    let lines = plan.parts.iter().filter(|line| line.buy > 0).count();
    (
        format!("{}, {}", none_or(strands, "strand", "strands"), count(lines, "line", "lines")),
        "One whole strand of each kind is spare: next year's will differ.".to_owned(),
    )
}

fn put_up(plan: &Plan) -> (String, String) {
    let people = plan.put_up.iter().map(|step| step.people).max().unwrap_or(1);
    (
        format!("{}, {}", count(plan.put_up.len(), "step", "steps"), none_or(people, "person", "people")),
        "Look up before you lift. Ask before you drive a stake. In daylight, and never alone.".to_owned(),
    )
}

fn run(plan: &Plan) -> (String, String) {
    let Some(season) = &plan.season else {
        return ("no season written".to_owned(), "Nothing says when it runs.".to_owned());
    };
    (
        format!("{}, {:.0} hours", none_or(season.count, "night", "nights"), season.hours),
        format!(
            "With everything lit all the time the season would take {} kWh; it will take less.",
            energy(season.energy_kwh)
        ),
    )
}

/// Kilowatt-hours as printed; little never reads as none.
fn energy(kwh: f64) -> String {
    if kwh < 0.095 { format!("{kwh:.3}") } else { format!("{kwh:.1}") }
}
