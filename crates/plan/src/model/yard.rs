//! Where things stand in the yard. The yard is drawn in front elevation: x across from the yard's left end, y up from the
//! ground, both as the viewers see it; depth is away from the viewers.

use serde::Serialize;

/// Where something stands, in millimetres of the yard.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Place {
    /// Across, from the yard's left end.
    pub x_mm: f64,
    /// Up, from the ground.
    pub y_mm: f64,
    /// Away from the viewers, from the line on which the panels stand.
    pub depth_mm: f64,
}

/// A post that a span hangs from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Post {
    /// Its name.
    pub name: String,
    /// Its foot.
    pub place: Place,
    /// Where the rope is tied, above the ground.
    pub tie_mm: f64,
    /// What the rope pulls at the tie, as the vector's length, with everything hung and no wind.
    pub pull_n: f64,
    /// The direction of the pull, above the horizontal; negative points down.
    pub pull_deg: f64,
    /// The moment at the foot.
    pub moment_nm: f64,
}

/// How a panel is held up, and what wind it bears.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Stand {
    /// The panel.
    pub panel: String,
    /// Depth of the base, from the front foot to the back foot.
    pub base_mm: f64,
    /// Mass of the panel with its lamps and frame.
    pub mass_kg: f64,
    /// The three-second gust that it must bear, m/s.
    pub gust_m_s: f64,
    /// Force of that gust on the panel, its holes filled with lamps.
    pub force_n: f64,
    /// The guys, each to its own stake.
    pub guys: Vec<Guy>,
    /// Ballast on the base, all together.
    pub ballast_kg: f64,
    /// The gust before which the panel must lie flat, m/s: the least of tipping, sliding and guys, each with the factor of
    /// 1.5 that holds for anything that stands kept.
    pub lay_flat_m_s: f64,
}

/// A line from a panel to a stake.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Guy {
    /// Its label, e.g. `west G1`.
    pub label: String,
    /// Where it is tied, above the ground.
    pub tie_mm: f64,
    /// From the panel's foot to the stake.
    pub stake_mm: f64,
    /// Length to cut, knots included.
    pub cut_mm: f64,
    /// Its pull in the gust.
    pub tension_n: f64,
    /// What the stake must hold in a pull test before anything is hung on it.
    pub pull_test_n: f64,
}
