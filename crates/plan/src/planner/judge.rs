//! What can be wrong with a panel as a whole: its sheet, its poses.

use crate::note::{Also, finding};
use crate::stage::bunches;
use crate::stage::sheets::Sheets;
use finding::{Finding, Severity, Sheet};
use quantity::{Show as _, Units};
use uom::si::f64::Length;
use uom::si::length::millimeter;

pub(super) fn judge_sheet(
    panels: &[&str],
    sheet: &parts::SheetGood,
    sheets: &Sheets,
    units: Units,
    findings: &mut Vec<Finding>,
) {
    let concerns: Vec<&str> = panels.iter().copied().chain([sheet.name.as_str()]).collect();
    if !sheet.wood_based {
        findings.push(
            finding(
                "drill/sheet-not-wood",
                Severity::Danger,
                "drill",
                &concerns,
                format!(
                    "{} is not wood-based; LED strands are planned on wood-based sheets only",
                    sheet.name
                ),
            )
            .cure("Use hardboard or plywood", None)
            .withholds(&[Sheet::Panel, Sheet::Threading, Sheet::Templates]),
        );
    }
    let shown = |mm: f64| Length::new::<millimeter>(mm).show(units);
    let (width, height) = (sheet.width.get::<millimeter>(), sheet.height.get::<millimeter>());
    let whole = sheets.pieces.first().map_or((0.0, 0.0), |piece| (piece.width_mm, piece.height_mm));
    if !sheets.fits {
        findings.push(
            finding(
                "drill/sheet-too-small",
                Severity::Fault,
                "drill",
                &concerns,
                format!(
                    "The panel needs {} x {}, more than four of {} ({} x {}) along a side",
                    shown(whole.0),
                    shown(whole.1),
                    sheet.name,
                    shown(width),
                    shown(height)
                ),
            )
            .cure("Make the figure smaller or take a larger sheet", None),
        );
    } else if sheets.pieces.len() > 1 {
        findings.push(
            finding(
                "drill/joint",
                Severity::Note,
                "drill",
                &concerns,
                format!(
                    "The panel is larger than one {}: it is made of {} pieces, joined over strips behind them before it is drilled",
                    sheet.name,
                    sheets.pieces.len()
                ),
            )
            .cure("Make the figure smaller, if one sheet is to carry it", None),
        );
    }
}

/// A pose that lights exactly what another lights cannot be told from it.
pub(super) fn judge_poses(
    panel: &str,
    names: &[&str],
    drawn: &bunches::Bunches,
    findings: &mut Vec<Finding>,
) {
    let lit = |pose: usize| -> Vec<bool> {
        drawn.bunches.iter().map(|bunch| bunch.poses.contains(&pose)).collect()
    };
    for second in 1..names.len() {
        if let Some(first) = (0..second).find(|&first| lit(first) == lit(second)) {
            findings.push(
                finding(
                    "draw/poses-alike",
                    Severity::Fault,
                    "draw",
                    &[panel, names[first], names[second]],
                    format!("Poses {} and {} light the same lines", names[first], names[second]),
                )
                .cure("Draw them further apart, or leave one out", None),
            );
        }
    }
}
