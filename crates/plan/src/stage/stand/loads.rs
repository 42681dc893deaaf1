//! What a gust does to a panel, and what it asks of guys and ballast.

use super::Input;
use reckoning::GRAVITY;
use reckoning::rope::ENGINEER_ABOVE_N;
use reckoning::wind::{self, BOARD_COEFFICIENT, FRICTION, Footing, OFF_CENTRE, STEADY_FACTOR};
use uom::si::angle::degree;
use uom::si::area::square_meter;
use uom::si::f64::{Angle, Area, Force, Length, Mass, Velocity};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::mass::kilogram;
use uom::si::velocity::meter_per_second;

/// Guys run out at this angle from the level. Common practice.
pub(super) const GUY_DEGREES: f64 = 45.0;
/// Guys are tied at least this far below the upper edge. Common practice.
const TIE_BELOW_MM: f64 = 150.0;
/// Heights of the ties are tried in steps of this.
const TIE_STEP_MM: f64 = 25.0;
/// Mass of a lamp with its share of wire. From memory; a coil on a scale decides.
const LAMP_KG: f64 = 0.008;
/// Mass of a metre of batten, 19 x 64 mm softwood. From memory.
const BATTEN_KG_PER_M: f64 = 0.6;
/// Battens run round the sheet and across it this far apart. Common practice: every 0.4 to 0.6 m.
const BATTENS_APART_MM: f64 = 600.0;
/// Ballast comes in bags of this.
pub(crate) const BAG_KG: f64 = 5.0;

/// What the gust does, and what it asks of guys and ballast.
pub(super) struct Loads {
    pub(super) mass_kg: f64,
    pub(super) area: Area,
    pub(super) middle_mm: f64,
    pub(super) force_n: f64,
    pub(super) moment_nm: f64,
    pub(super) tie_mm: f64,
    /// Guys on each side.
    pub(super) a_side: u32,
    /// Pull of all guys of one side together, along them.
    pub(super) side_n: f64,
    /// Pull of the guy that bears most.
    pub(super) guy_n: f64,
    pub(super) ballast_kg: f64,
    /// The gust that its footing alone would bear.
    pub(super) bears_m_s: f64,
    /// The gust before which it lies flat: never more than it is planned for, since ropes, stakes and battens are not.
    pub(super) lay_flat_m_s: f64,
}

pub(super) fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

pub(super) fn loads(input: &Input, gust_m_s: f64) -> Loads {
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
