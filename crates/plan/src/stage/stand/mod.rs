//! Stand: what a gust does to a panel, and what holds it: its own base, guys to tested stakes, ballast. Tipping both ways and
//! sliding; the force a quarter of the width off centre (EN 1991-1-4 7.4.3); lamps and bags fill the holes, so the whole
//! sheet counts.
//!
//! Guys are counted in all: half of them run to the front, half to the back, at the panel's edges when there are two or more
//! on a side, else in its middle. They run out at 45 degrees from the upper half. They bear the moment with nothing taken off
//! for the panel's weight; base and ballast bear what then is left to slide. Without guys, ballast bears it all.

mod judge;
mod loads;
#[cfg(test)]
mod tests;

use crate::note::works_out;
use crate::{Guy, Origins, Stand};
use finding::{Finding, Known};
use loads::{GUY_DEGREES, Loads, loads};
use quantity::Units;
use reckoning::wind::{self, STEADY_FACTOR};
use serde::Serialize;
use uom::si::f64::Force;
use uom::si::force::newton;

pub(crate) use loads::{BAG_KG, battens_mm};

/// Line for both knots of a guy. Common practice.
const KNOTS_MM: f64 = 1000.0;

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
        return Standing { findings: vec![judge::no_gust(input)], ..Standing::default() };
    };
    let loads = loads(input, gust.value);
    let stand = assemble(input, gust.value, &loads);
    let findings = judge::judge(input, gust, &loads, &stand);
    Standing { stand: Some(stand), origins: origins(input, gust), findings }
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
