//! Stand: what a gust does to a panel, and what holds it: its own base, guys to tested stakes, ballast. Tipping both ways and
//! sliding; the force a quarter of the width off centre (EN 1991-1-4 7.4.3); lamps and bags fill the holes, so the whole
//! sheet counts.
//!
//! Guys are counted in all: half of them run to the front, half to the back, at the panel's edges when there are two or more
//! on a side, else in its middle. They run out at 45 degrees from the upper half. They bear the moment with nothing taken off
//! for the panel's weight; base and ballast bear what then is left to slide. Without guys, ballast bears it all.

use crate::note::{Also, finding, rewrite, used, value, worked, working, works_out};
use crate::{Guy, Origins, Stand};
use finding::{Finding, Known, Origin, Severity, Sheet};
use quantity::{Show, Units};
use reckoning::GRAVITY;
use reckoning::panel::ONE_LIFTS_KG;
use reckoning::rope::ENGINEER_ABOVE_N;
use reckoning::wind::{
    self, BOARD_COEFFICIENT, FRICTION, Footing, HANDLE_BELOW_MPH, OFF_CENTRE, STEADY_FACTOR,
};
use serde::Serialize;
use uom::si::angle::degree;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Area, Force, Length, Mass, Velocity};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::mass::kilogram;
use uom::si::velocity::{meter_per_second, mile_per_hour};

/// Guys run out at this angle from the level. Common practice.
const GUY_DEGREES: f64 = 45.0;
/// Guys are tied at least this far below the upper edge. Common practice.
const TIE_BELOW_MM: f64 = 150.0;
/// Heights of the ties are tried in steps of this.
const TIE_STEP_MM: f64 = 25.0;
/// Line for both knots of a guy. Common practice.
const KNOTS_MM: f64 = 1000.0;
/// Mass of a lamp with its share of wire. From memory; a coil on a scale decides.
const LAMP_KG: f64 = 0.008;
/// Mass of a metre of batten, 19 x 64 mm softwood. From memory.
const BATTEN_KG_PER_M: f64 = 0.6;
/// Battens run round the sheet and across it this far apart. Common practice: every 0.4 to 0.6 m.
const BATTENS_APART_MM: f64 = 600.0;
/// Ballast beyond which nobody carries it out each season: our threshold.
const MOST_BALLAST_KG: f64 = 100.0;
/// Ballast comes in bags of this.
pub(crate) const BAG_KG: f64 = 5.0;

/// What the stage takes.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Input {
    pub(crate) panel: String,
    pub(crate) size_mm: [f64; 2],
    /// Its lower edge above the ground.
    pub(crate) lifted_mm: f64,
    /// Mass of its sheets, lamps and battens left out.
    pub(crate) sheet_kg: Known<f64>,
    pub(crate) lamps: u32,
    pub(crate) base_mm: Known<f64>,
    pub(crate) guys: Known<u32>,
    /// The gust it must stand through; none where nobody has said.
    pub(crate) gust_m_s: Option<Known<f64>>,
    pub(crate) units: Units,
}

/// What the stage gives.
#[derive(Clone, Debug, Default, Serialize)]
pub(crate) struct Standing {
    /// None where the gust is not known.
    pub(crate) stand: Option<Stand>,
    pub(crate) origins: Origins,
    pub(crate) findings: Vec<Finding>,
}

pub(crate) fn work(input: &Input) -> Standing {
    let Some(gust) = &input.gust_m_s else {
        return Standing { findings: vec![no_gust(input)], ..Standing::default() };
    };
    let loads = loads(input, gust.value);
    let stand = assemble(input, gust.value, &loads);
    let findings = judge(input, gust, &loads, &stand);
    Standing { stand: Some(stand), origins: origins(input, gust), findings }
}

/// What the gust does, and what it asks of guys and ballast.
struct Loads {
    mass_kg: f64,
    area: Area,
    middle_mm: f64,
    force_n: f64,
    moment_nm: f64,
    tie_mm: f64,
    /// Guys on each side.
    a_side: u32,
    /// Pull of all guys of one side together, along them.
    side_n: f64,
    /// Pull of the guy that bears most.
    guy_n: f64,
    ballast_kg: f64,
    /// The gust that its footing alone would bear.
    bears_m_s: f64,
    /// The gust before which it lies flat: never more than it is planned for, since ropes, stakes and battens are not.
    lay_flat_m_s: f64,
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn loads(input: &Input, gust_m_s: f64) -> Loads {
    let [width, height] = input.size_mm;
    let area = Area::new::<square_meter>(width * height / 1e6);
    let middle_mm = input.lifted_mm + height / 2.0;
    let pressure = wind::pressure(Velocity::new::<meter_per_second>(gust_m_s));
    let force = wind::force(pressure, BOARD_COEFFICIENT, area);
    let mut loads = Loads {
        mass_kg: mass_kg(input),
        area,
        middle_mm,
        force_n: force.get::<newton>(),
        moment_nm: wind::moment_nm(force, mm(middle_mm)),
        tie_mm: (input.lifted_mm + height - TIE_BELOW_MM).max(middle_mm),
        a_side: input.guys.value / 2,
        side_n: 0.0,
        guy_n: 0.0,
        ballast_kg: 0.0,
        bears_m_s: 0.0,
        lay_flat_m_s: 0.0,
    };
    loads.tie_guys();
    loads.ballast_kg = loads.ballast(input.base_mm.value);
    loads.bears_m_s = loads.bears(input.base_mm.value);
    loads.lay_flat_m_s = loads.bears_m_s.min(gust_m_s);
    loads
}

impl Loads {
    /// The height of the ties. High ones are pulled less, but leave more of the force to slide the feet: the highest is taken
    /// at which the feet stay without ballast, as long as no guy is pulled with more than we let one be.
    fn tie_guys(&mut self) {
        if self.a_side == 0 {
            return;
        }
        let top_mm = self.tie_mm;
        let (mut best_mm, mut least_kg) = (top_mm, f64::INFINITY);
        let mut tie_mm = top_mm;
        while tie_mm >= self.middle_mm {
            self.pull_at(tie_mm);
            let ballast_kg = self.sliding_kg();
            if self.guy_n <= ENGINEER_ABOVE_N && ballast_kg < least_kg {
                (best_mm, least_kg) = (tie_mm, ballast_kg);
            }
            tie_mm -= TIE_STEP_MM;
        }
        self.pull_at(best_mm);
    }

    /// What the guys bear when tied at a height: one side together, and the one of them that bears most.
    fn pull_at(&mut self, tie_mm: f64) {
        let angle = Angle::new::<degree>(GUY_DEGREES);
        self.tie_mm = tie_mm;
        self.side_n = wind::guy_tension(self.moment_nm, mm(tie_mm), angle).get::<newton>();
        self.guy_n = self.side_n * wind::side_share(OFF_CENTRE, self.a_side);
    }

    /// Ballast so that what the guys leave of the force does not slide it.
    fn sliding_kg(&self) -> f64 {
        let leaning = GUY_DEGREES.to_radians();
        let (held_n, pressed_n) = (self.side_n * libm::cos(leaning), self.side_n * libm::sin(leaning));
        let left = Force::new::<newton>((self.force_n - held_n).max(0.0));
        let needed = wind::ballast_sliding(left, STEADY_FACTOR, FRICTION).get::<kilogram>();
        (needed - pressed_n / GRAVITY - self.mass_kg).max(0.0)
    }

    /// Ballast in whole bags: against sliding, and without guys against tipping too.
    fn ballast(&self, base_mm: f64) -> f64 {
        let tipping = match self.a_side {
            0 => wind::ballast(self.moment_nm, STEADY_FACTOR, mm(base_mm)).get::<kilogram>() - self.mass_kg,
            _ => 0.0,
        };
        BAG_KG * libm::ceil((tipping.max(self.sliding_kg()) / BAG_KG - 1e-9).max(0.0))
    }

    fn bears(&self, base_mm: f64) -> f64 {
        let footing = Footing {
            mass: Mass::new::<kilogram>(self.mass_kg + self.ballast_kg),
            base: mm(base_mm),
            friction: FRICTION,
            // As much as the stakes are tested for.
            guys: Force::new::<newton>(self.side_n * STEADY_FACTOR),
            fixed_at: mm(self.tie_mm),
            from_level: Angle::new::<degree>(GUY_DEGREES),
        };
        wind::take_down(self.area, mm(self.middle_mm), BOARD_COEFFICIENT, STEADY_FACTOR, &footing)
            .get::<meter_per_second>()
    }
}

/// Length of the battens round a panel and across it.
pub(crate) fn battens_mm(width: f64, height: f64) -> f64 {
    let across = libm::floor(height / BATTENS_APART_MM);
    2.0 * (width + height) + across * width
}

/// Sheet, lamps and the battens round it and across it.
fn mass_kg(input: &Input) -> f64 {
    let battens_m = battens_mm(input.size_mm[0], input.size_mm[1]) / 1000.0;
    input.sheet_kg.value + f64::from(input.lamps) * LAMP_KG + battens_m * BATTEN_KG_PER_M
}

fn assemble(input: &Input, gust_m_s: f64, loads: &Loads) -> Stand {
    let stake_mm = loads.tie_mm / libm::tan(GUY_DEGREES.to_radians());
    let guys = (0..2 * loads.a_side).map(|number| Guy {
        label: format!("{} G{}", input.panel, number + 1),
        tie_mm: loads.tie_mm,
        stake_mm,
        cut_mm: libm::hypot(loads.tie_mm, stake_mm) + KNOTS_MM,
        tension_n: loads.guy_n,
        pull_test_n: wind::stake_test(Force::new::<newton>(loads.guy_n), STEADY_FACTOR).get::<newton>(),
    });
    Stand {
        panel: input.panel.clone(),
        base_mm: input.base_mm.value,
        mass_kg: loads.mass_kg,
        gust_m_s,
        force_n: loads.force_n,
        guys: guys.collect(),
        ballast_kg: loads.ballast_kg,
        lay_flat_m_s: loads.lay_flat_m_s,
    }
}

fn origins(input: &Input, gust: &Known<f64>) -> Origins {
    let mut origins = Origins::default();
    origins.note("/base_mm", input.base_mm.origin.clone());
    origins.note("/gust_m_s", gust.origin.clone());
    works_out(&mut origins, &["/mass_kg"], "sheet-mass", &["sheet", "lamps", "battens"]);
    works_out(&mut origins, &["/force_n"], "board-force", &["pressure", "coefficient", "area"]);
    works_out(&mut origins, &["/guys"], "guy-tension", &["moment", "fixed at", "angle from the level"]);
    works_out(&mut origins, &["/ballast_kg"], "ballast", &["moment", "factor", "base"]);
    works_out(
        &mut origins,
        &["/lay_flat_m_s"],
        "take-down-gust",
        &["force", "mass", "base", "friction", "guys"],
    );
    origins
}

fn speed(input: &Input, m_s: f64) -> String {
    Velocity::new::<meter_per_second>(m_s).show(input.units)
}

fn force(input: &Input, newtons: f64) -> String {
    Force::new::<newton>(newtons).show(input.units)
}

fn kilograms(input: &Input, mass: f64) -> String {
    Mass::new::<kilogram>(mass).show(input.units)
}

fn judge(input: &Input, gust: &Known<f64>, loads: &Loads, stand: &Stand) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(too_much_ballast(input, gust, loads));
    findings.extend(stake_over_a_kilonewton(input, gust, loads));
    findings.extend(turns(input, loads));
    findings.extend(two_lift(input, loads));
    findings.push(lay_flat(input, gust, loads, stand));
    findings
}

fn no_gust(input: &Input) -> Finding {
    finding(
        "stand/no-gust",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "Nobody has said what gust {} must stand through, so nothing says what holds it",
            input.panel
        ),
    )
    .cure("Write the three-second gust of the place; ask the weather service for it", None)
    .withholds(&[Sheet::PutUp])
}

fn force_values(input: &Input, gust: &Known<f64>, loads: &Loads) -> Vec<finding::Value> {
    vec![
        value("gust", speed(input, gust.value), gust.origin.clone()),
        value("coefficient", BOARD_COEFFICIENT.to_string(), Origin::Default("signboards: EN 1991-1-4 7.4.3")),
        value(
            "area",
            format!("{:.2} m2", loads.area.get::<square_meter>()),
            worked("row-length", &["width of the panel", "height of the panel"]),
        ),
        value(
            "force",
            force(input, loads.force_n),
            worked("board-force", &["pressure", "coefficient", "area"]),
        ),
        value(
            "its middle",
            mm(loads.middle_mm).show(input.units),
            worked("tipping-moment", &["lifted", "height"]),
        ),
        value("base", mm(input.base_mm.value).show(input.units), input.base_mm.origin.clone()),
    ]
}

fn too_much_ballast(input: &Input, gust: &Known<f64>, loads: &Loads) -> Option<Finding> {
    if loads.ballast_kg <= MOST_BALLAST_KG {
        return None;
    }
    let held = if loads.a_side > 0 { "Even with its guys " } else { "" };
    let found = finding(
        "stand/falls",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "{held}{} needs {} of ballast to stand through a gust of {}; more than {} is not ballast any more",
            input.panel,
            kilograms(input, loads.ballast_kg),
            speed(input, gust.value),
            kilograms(input, MOST_BALLAST_KG)
        ),
    )
    .working(working(
        "ballast",
        force_values(input, gust, loads),
        kilograms(input, loads.ballast_kg),
        Some((kilograms(input, MOST_BALLAST_KG), "our threshold".into())),
        Some(used(loads.ballast_kg, MOST_BALLAST_KG)),
    ))
    .withholds(&[Sheet::PutUp]);
    let enough = |guys: u32| {
        let mut trial = input.clone();
        trial.guys.value = guys;
        let tried = self::loads(&trial, gust.value);
        tried.ballast_kg <= MOST_BALLAST_KG && tried.guy_n <= ENGINEER_ABOVE_N
    };
    let found = match [4, 6].into_iter().find(|guys| *guys > input.guys.value && enough(*guys)) {
        Some(guys) => found.cure(
            &format!("Hold it with {guys} guys to tested stakes, half to the front and half to the back"),
            rewrite(&input.guys.origin, guys.to_string()),
        ),
        None => found,
    };
    Some(
        found.cure(
            "Make the panel smaller or its base deeper, or stand it against something that stands",
            None,
        ),
    )
}

fn stake_over_a_kilonewton(input: &Input, gust: &Known<f64>, loads: &Loads) -> Option<Finding> {
    if loads.guy_n <= ENGINEER_ABOVE_N {
        return None;
    }
    let found = finding(
        "stand/anchor-pull",
        Severity::Danger,
        "put up",
        &[&input.panel],
        format!(
            "In a gust of {} a stake of {} is pulled with {}: above {} an engineer decides, not this plan",
            speed(input, gust.value),
            input.panel,
            force(input, loads.guy_n),
            force(input, ENGINEER_ABOVE_N)
        ),
    )
    .working(working(
        "guy-tension",
        force_values(input, gust, loads),
        force(input, loads.guy_n),
        Some((force(input, ENGINEER_ABOVE_N), "our threshold".into())),
        Some(used(loads.guy_n, ENGINEER_ABOVE_N)),
    ))
    .withholds(&[Sheet::PutUp]);
    let mut more = input.clone();
    more.guys.value = 4;
    let helps = input.guys.value < 4 && self::loads(&more, gust.value).guy_n <= ENGINEER_ABOVE_N;
    let found = if helps {
        found.cure(
            "Hold it with four guys, two to the front and two to the back",
            rewrite(&input.guys.origin, "4".into()),
        )
    } else {
        found
    };
    Some(found.cure("Make the panel smaller, or of two panels that stand apart", None))
}

fn turns(input: &Input, loads: &Loads) -> Option<Finding> {
    let torque = loads.force_n * OFF_CENTRE * input.size_mm[0] / 1000.0;
    (loads.a_side < 2).then(|| {
        finding(
            "stand/turns",
            Severity::Caution,
            "put up",
            &[&input.panel],
            format!(
                "The gust may push {} a quarter of its width off centre, with {torque:.0} N m; without two guys on each side only its feet keep it from turning",
                input.panel
            ),
        )
        .cure("Hold it with four guys at its edges", rewrite(&input.guys.origin, "4".into()))
    })
}

fn two_lift(input: &Input, loads: &Loads) -> Option<Finding> {
    (loads.mass_kg > ONE_LIFTS_KG).then(|| {
        finding(
            "stand/two-lift",
            Severity::Caution,
            "put up",
            &[&input.panel],
            format!("{} has about {}: two people lift it", input.panel, kilograms(input, loads.mass_kg)),
        )
        .working(working(
            "sheet-mass",
            vec![
                value("sheets", kilograms(input, input.sheet_kg.value), input.sheet_kg.origin.clone()),
                value("lamps", input.lamps.to_string(), Origin::Default("8 g each with wire; from memory")),
            ],
            kilograms(input, loads.mass_kg),
            Some((kilograms(input, ONE_LIFTS_KG), "our threshold".into())),
            None,
        ))
    })
}

/// The wind card's line: always said.
fn lay_flat(input: &Input, gust: &Known<f64>, loads: &Loads, stand: &Stand) -> Finding {
    let handled = Velocity::new::<mile_per_hour>(HANDLE_BELOW_MPH).get::<meter_per_second>();
    let capped = if loads.bears_m_s > gust.value {
        " That is the gust it is planned for: feet and ballast might bear more, but nothing else was looked at beyond it."
    } else {
        ""
    };
    let mut values = force_values(input, gust, loads);
    values.push(value(
        "friction",
        FRICTION.to_string(),
        Origin::Default("grass or paving; from memory; less on wet leaves or ice"),
    ));
    finding(
        "stand/lay-flat",
        Severity::Note,
        "put up",
        &[&input.panel],
        format!(
            "Lay {} flat before gusts of {} are forecast; nobody handles it in more than {}. Stakes count only once pull-tested.{capped}",
            input.panel,
            crate::note::speed(stand.lay_flat_m_s, input.units),
            crate::note::speed(handled + 1e-9, input.units)
        ),
    )
    .working(working(
        "take-down-gust",
        values,
        speed(input, loads.bears_m_s),
        Some((speed(input, gust.value), "never more than the gust it is planned for".into())),
        None,
    ))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail loudly")]

    use super::*;

    fn by<T>(value: T) -> Known<T> {
        Known::new(value, Origin::Default("test"))
    }

    const MPH: f64 = 0.447_04;

    /// A figure of six feet on a sheet of 4 x 6 1/2 ft.
    fn panel() -> Input {
        Input {
            panel: "west".into(),
            size_mm: [1219.2, 1981.2],
            lifted_mm: 150.0,
            sheet_kg: by(7.0),
            lamps: 200,
            base_mm: by(1219.2),
            guys: Known::new(
                4,
                Origin::Written {
                    file: "display.toml".into(),
                    path: source::KeyPath::dotted("panel.west.stands.guys"),
                },
            ),
            gust_m_s: Some(by(40.0 * MPH)),
            units: Units::Inches,
        }
    }

    fn codes(input: &Input, severity: Severity) -> Vec<&'static str> {
        work(input)
            .findings
            .iter()
            .filter(|found| found.severity == severity)
            .map(|found| found.code)
            .collect()
    }

    fn withheld(input: &Input) -> bool {
        work(input).findings.iter().any(|found| found.withholds.contains(&Sheet::PutUp))
    }

    #[test]
    fn force_is_that_of_the_code() {
        let stand = work(&panel()).stand.unwrap();
        // ASCE 7: 0.00256 x 40^2 = 4.10 lb/ft2; coefficient 1.8 (EN 1991-1-4 7.4.3); 26 ft2: 191.7 lb.
        assert!((stand.force_n - 191.7 * 4.448_22).abs() < 3.0, "{}", stand.force_n);
    }

    #[test]
    fn guys_hold_the_moment_about_the_ground() {
        let stand = work(&panel()).stand.unwrap();
        assert_eq!(stand.guys.len(), 4);
        let guy = &stand.guys[0];
        // Tied in the upper half: not below the middle of the panel, and clear of its edge.
        assert!(guy.tie_mm >= 150.0 + 990.6 && guy.tie_mm <= 150.0 + 1981.2 - 150.0, "{}", guy.tie_mm);
        // Levers by hand: force x middle / tie / cos 45, three quarters of it on one of two (a quarter width off centre).
        let by_hand = stand.force_n * (150.0 + 990.6) / guy.tie_mm * libm::sqrt(2.0) * 0.75;
        assert!((guy.tension_n / by_hand - 1.0).abs() < 0.001, "{} {by_hand}", guy.tension_n);
        assert!(guy.tension_n <= 1000.0);
        assert!((guy.pull_test_n - 1.5 * guy.tension_n).abs() < 1e-9);
        // Out at 45 degrees the stake is as far as the tie is high.
        assert!((guy.stake_mm - guy.tie_mm).abs() < 1e-6);
    }

    #[test]
    fn what_the_guys_leave_does_not_slide() {
        for guys in [2, 4, 6] {
            let mut input = panel();
            input.guys.value = guys;
            let stand = work(&input).stand.unwrap();
            let guy = &stand.guys[0];
            // The side's pull by hand from the moment; at 45 degrees as much of it is level as presses down.
            let level = stand.force_n * (150.0 + 990.6) / guy.tie_mm;
            let pressed = 9.806_65 * (stand.mass_kg + stand.ballast_kg) + level;
            assert!(1.5 * (stand.force_n - level) <= 0.4 * pressed + 1e-6, "{guys} guys");
        }
    }

    #[test]
    fn it_stands_through_the_gust_it_is_planned_for() {
        for guys in [0, 2, 4] {
            let mut input = panel();
            input.guys.value = guys;
            let stand = work(&input).stand.unwrap();
            assert!(stand.lay_flat_m_s >= 40.0 * MPH - 1e-9, "{guys} guys: {}", stand.lay_flat_m_s / MPH);
        }
    }

    /// Only what the gust of the plan does was looked at: whatever the feet would bear, it lies flat before that gust.
    #[test]
    fn it_lies_flat_at_the_latest_before_the_gust_it_is_planned_for() {
        for (guys, gust) in [(0, 10.0), (4, 10.0), (4, 25.0), (6, 40.0)] {
            let mut input = panel();
            input.guys.value = guys;
            input.gust_m_s = Some(by(gust * MPH));
            let done = work(&input);
            assert!(done.stand.unwrap().lay_flat_m_s <= gust * MPH + 1e-9, "{guys} guys, {gust} mph");
            let found = done.findings.into_iter().find(|found| found.code == "stand/lay-flat").unwrap();
            let friction = &found.working.unwrap().values.into_iter().find(|v| v.name == "friction").unwrap();
            assert_eq!(friction.shown, "0.4");
            assert!(friction.origin.to_string().contains("wet leaves or ice"));
        }
    }

    #[test]
    fn a_panel_without_guys_falls_and_guys_give_the_card_back() {
        let mut input = panel();
        assert!(!withheld(&input), "{:?}", work(&input).findings);
        input.guys.value = 0;
        assert_eq!(codes(&input, Severity::Danger), ["stand/falls"]);
        assert!(withheld(&input));
        let found = work(&input).findings.into_iter().find(|found| found.code == "stand/falls").unwrap();
        let (key, text) = found.cures[0].edit.clone().unwrap();
        assert_eq!(key, source::KeyPath::dotted("panel.west.stands.guys"));
        // The cure changes the build; no cure changes the wind.
        assert!(found.cures.iter().all(|cure| !cure.words.contains("gust")));
        input.guys.value = text.parse().unwrap();
        assert!(!withheld(&input));
    }

    #[test]
    fn more_than_a_kilonewton_on_a_stake_is_an_engineers() {
        let mut input = panel();
        input.guys.value = 2;
        input.gust_m_s = Some(by(50.0 * MPH));
        assert!(codes(&input, Severity::Danger).contains(&"stand/anchor-pull"));
        let found =
            work(&input).findings.into_iter().find(|found| found.code == "stand/anchor-pull").unwrap();
        input.guys.value = found.cures[0].edit.clone().unwrap().1.parse().unwrap();
        assert!(!codes(&input, Severity::Danger).contains(&"stand/anchor-pull"));
    }

    #[test]
    fn two_guys_do_not_keep_it_from_turning() {
        let mut input = panel();
        assert!(!codes(&input, Severity::Caution).contains(&"stand/turns"));
        input.guys.value = 2;
        assert!(codes(&input, Severity::Caution).contains(&"stand/turns"));
    }

    #[test]
    fn an_unsaid_gust_withholds_the_card() {
        let mut input = panel();
        input.gust_m_s = None;
        assert_eq!(codes(&input, Severity::Danger), ["stand/no-gust"]);
        assert!(withheld(&input) && work(&input).stand.is_none());
    }

    #[test]
    fn two_people_lift_a_heavy_panel() {
        let mut input = panel();
        assert!(!codes(&input, Severity::Caution).contains(&"stand/two-lift"));
        input.sheet_kg.value = 17.0;
        assert!(codes(&input, Severity::Caution).contains(&"stand/two-lift"));
    }

    #[test]
    fn the_wind_card_says_when_to_lay_it_flat() {
        let found = work(&panel()).findings.into_iter().find(|found| found.code == "stand/lay-flat").unwrap();
        assert!(found.verdict.starts_with("Lay west flat before gusts of 4"), "{}", found.verdict);
    }
}
