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
        format!("{bunches} bunches show all {poses} poses: what is common to several poses is strung once."),
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
        format!("{}, {parked} lamps parked", count(strands().count(), "strand", "strands")),
        format!(
            "Start at the plug and follow the numbers, working from the back. {spare} lamps stay over and are spread behind the panel, never bunched."
        ),
    )
}

fn hang(plan: &Plan) -> (String, String) {
    let hung: usize = plan.spans.iter().map(|span| span.hung.len()).sum();
    let lowest = plan.spans.iter().map(|span| span.headroom_mm).fold(f64::INFINITY, f64::min);
    let headroom =
        if lowest.is_finite() { Length::new::<millimeter>(lowest).show(plan.units) } else { String::new() };
    (
        format!("{hung} hung from {}", count(plan.spans.len(), "span", "spans")),
        format!(
            "Nothing hangs lower than {headroom} above the ground in still air. Cut each hanger to its own length."
        ),
    )
}

fn digits(plan: &Plan) -> (String, String) {
    let count_of: u32 = plan.digits.iter().map(|digits| digits.count).sum();
    let segments: usize = plan.digits.iter().flat_map(|digits| &digits.channels).map(Vec::len).sum();
    (
        format!("{count_of} digits, {segments} segments"),
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
        format!("{} channels, {outlets} on mains", plan.channels.len()),
        "Mains is switched only by complete, listed boxes, which stay closed; everything else is low voltage.".to_owned(),
    )
}

fn wire(plan: &Plan) -> (String, String) {
    let conductors: usize = plan.cables.iter().map(|cable| cable.conductors.len()).sum();
    (
        format!("{}, {conductors} conductors", count(plan.cables.len(), "cable", "cables")),
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
        format!("{strands} strands, {lines} lines"),
        "One whole strand of each kind is spare: next year's will differ.".to_owned(),
    )
}

fn put_up(plan: &Plan) -> (String, String) {
    let people = plan.put_up.iter().map(|step| step.people).max().unwrap_or(1);
    (
        format!("{}, {people} people", count(plan.put_up.len(), "step", "steps")),
        "Look up before you lift. Ask before you drive a stake. In daylight, and never alone.".to_owned(),
    )
}

fn run(plan: &Plan) -> (String, String) {
    let (nights, hours, kwh) =
        plan.season.as_ref().map_or((0, 0.0, 0.0), |season| (season.count, season.hours, season.energy_kwh));
    (
        format!("{nights} nights, {hours:.0} hours"),
        format!("With everything lit all the time the season would take {kwh:.1} kWh; it will take less."),
    )
}
