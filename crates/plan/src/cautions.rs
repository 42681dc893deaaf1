//! The sentences that keep people from harm, each in one place: the put-up card, the book and the page say the same.

/// Under a rope.
pub const UNDER_THE_ROPE: &str = "Nobody stands, climbs or pulls under this rope.";
/// What is looked at each week.
pub const EACH_WEEK: &str = "Look at every knot and strap each week; take the rope in before a gale.";
/// Whoever handles a panel. The limit is `reckoning::wind::HANDLE_BELOW_MPH`.
pub const HANDLED: &str = "Nobody handles a panel in more than 20 mph (9 m/s) of wind (our threshold).";
/// Room around a panel.
pub const KEEP_AWAY: &str = "Keep a panel’s height away.";
/// What a ground-fault device does not do.
pub const NOT_BETWEEN: &str = "It does not protect you between line and neutral.";
/// The mains side.
pub const NEVER_OPEN: &str = "Do not build or open mains switching.";
/// An output that is off.
pub const OFF_KILLS: &str = "An output that is off can still kill: unplug.";
/// Testing.
pub const NEVER_WET: &str = "Never wet it to test it. Unplug, dry, then look.";

/// All of them by name, for whoever sets them.
pub const ALL: [(&str, &str); 8] = [
    ("under_the_rope", UNDER_THE_ROPE),
    ("each_week", EACH_WEEK),
    ("handled", HANDLED),
    ("keep_away", KEEP_AWAY),
    ("not_between", NOT_BETWEEN),
    ("never_open", NEVER_OPEN),
    ("off_kills", OFF_KILLS),
    ("never_wet", NEVER_WET),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A mile is 1609.344 m (international yard and pound agreement, 1959): 20 miles an hour are 8.94 m/s.
    #[test]
    fn the_limit_that_is_said_is_the_one_that_is_reckoned_with() {
        let mph = reckoning::wind::HANDLE_BELOW_MPH;
        let said = format!("more than {mph:.0} mph ({:.0} m/s)", mph * 1609.344 / 3600.0);
        assert!(HANDLED.contains(&said), "{said}");
    }
}
