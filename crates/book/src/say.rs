//! The plan's plain numbers as the builder reads them: each is made a quantity, and printed by its one printer.

use quantity::{
    ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force, Length, Mass, POUND_KG, Power,
    Show, Units, Velocity, in_inches, in_millimetres, unit,
};
use reckoning::GRAVITY;

/// A length.
pub(crate) fn length(mm: f64, units: Units) -> String {
    Length::new::<unit::millimeter>(mm).show(units)
}

/// A length to be cut or marked: to the sixteenth of an inch and in millimetres, the builder's own first.
pub(crate) fn both(mm: f64, units: Units) -> String {
    let whole = Length::new::<unit::millimeter>(mm);
    let metric = in_millimetres(Length::new::<unit::millimeter>(mm.round()));
    match units {
        Units::Inches => format!("{} ({metric})", whole.show(units)),
        Units::Millimetres => format!("{metric} ({})", in_inches(whole)),
    }
}

/// A length in millimetres alone, for drills.
pub(crate) fn millimetres(mm: f64) -> String {
    in_millimetres(Length::new::<unit::millimeter>(mm))
}

/// A current.
pub(crate) fn current(a: f64) -> String {
    ElectricCurrent::new::<unit::ampere>(rounded(a)).show(Units::Millimetres)
}

/// A voltage.
pub(crate) fn voltage(v: f64) -> String {
    ElectricPotential::new::<unit::volt>(rounded(v)).show(Units::Millimetres)
}

/// A resistance.
pub(crate) fn resistance(ohm: f64) -> String {
    ElectricalResistance::new::<unit::ohm>(ohm).show(Units::Millimetres)
}

/// A power.
pub(crate) fn power(w: f64) -> String {
    Power::new::<unit::watt>(rounded(w)).show(Units::Millimetres)
}

/// A force, and where reports are metric what a scale that it hangs from would read: pounds of force stand there already.
pub(crate) fn force(n: f64, units: Units) -> String {
    let shown = Force::new::<unit::newton>(rounded(n)).show(units);
    match units {
        Units::Inches => shown,
        Units::Millimetres => format!("{shown} ({})", mass(n / GRAVITY, units)),
    }
}

/// A mass: three figures in the builder's own unit.
pub(crate) fn mass(kg: f64, units: Units) -> String {
    let shown = match units {
        Units::Inches => rounded(kg / POUND_KG) * POUND_KG,
        Units::Millimetres => rounded(kg),
    };
    Mass::new::<unit::kilogram>(shown).show(units)
}

/// A speed of the wind.
pub(crate) fn speed(m_s: f64, units: Units) -> String {
    let speed = Velocity::new::<unit::meter_per_second>(m_s);
    let whole = match units {
        Units::Inches => Velocity::new::<unit::mile_per_hour>(speed.get::<unit::mile_per_hour>().floor()),
        Units::Millimetres => Velocity::new::<unit::meter_per_second>(m_s.floor()),
    };
    whole.show(units)
}

/// An energy.
pub(crate) fn energy(kwh: f64) -> String {
    Energy::new::<unit::kilowatt_hour>(rounded(kwh)).show(Units::Millimetres)
}

/// Three figures: more would claim to know more than a label does.
fn rounded(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let size = libm::floor(libm::log10(value.abs()));
    let step = libm::pow(10.0, size - 2.0);
    (value / step).round() * step
}
