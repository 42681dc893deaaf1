//! Tables for a spreadsheet: comma-separated, quoted where needed, lengths in millimetres.

use crate::BookFault;
use finding::Sheet;
use plan::Plan;
use std::collections::BTreeMap;

/// One table: its header and its rows.
struct Table {
    header: &'static [&'static str],
    rows: Vec<Vec<String>>,
}

/// Adds the tables that no danger withholds.
pub(crate) fn add(files: &mut BTreeMap<String, Vec<u8>>, plan: &Plan) -> Result<(), BookFault> {
    if !plan.withholds(Sheet::Panel) && !plan.withholds(Sheet::Templates) {
        files.insert("tables/holes.csv".to_owned(), written(&holes(plan))?);
    }
    if !plan.withholds(Sheet::Threading) {
        files.insert("tables/threading.csv".to_owned(), written(&threading(plan))?);
    }
    if !plan.withholds(Sheet::Wiring) {
        files.insert("tables/channels.csv".to_owned(), written(&channels(plan))?);
        files.insert("tables/cables.csv".to_owned(), written(&cables(plan))?);
    }
    files.insert("tables/parts.csv".to_owned(), written(&parts(plan))?);
    Ok(())
}

/// A cell of the builder's own words. A spreadsheet takes a cell that starts with one of these for a formula and runs
/// it; an apostrophe in front makes it plain text (OWASP, "CSV Injection").
fn words(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

/// Millimetres with the plan's precision on paper.
fn mm(value: f64) -> String {
    format!("{value:.3}")
}

fn written(table: &Table) -> Result<Vec<u8>, BookFault> {
    let fault = |fault: &dyn std::fmt::Display| BookFault::Table(fault.to_string());
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(table.header).map_err(|f| fault(&f))?;
    for row in &table.rows {
        writer.write_record(row).map_err(|f| fault(&f))?;
    }
    writer.into_inner().map_err(|f| fault(&f))
}

fn holes(plan: &Plan) -> Table {
    let mut rows = Vec::new();
    for panel in &plan.panels {
        for hole in &panel.holes {
            let bunch = panel.bunches.get(hole.bunch).map_or("", |bunch| bunch.name.as_str());
            rows.push(vec![
                words(&panel.name),
                hole.number.to_string(),
                mm(hole.x_mm),
                mm(hole.y_mm),
                mm(panel.hole_mm),
                words(bunch),
            ]);
        }
    }
    Table { header: &["panel", "hole", "right_mm", "up_mm", "diameter_mm", "bunch"], rows }
}

fn threading(plan: &Plan) -> Table {
    let mut rows = Vec::new();
    for panel in &plan.panels {
        for strand in &panel.strands {
            for hop in &strand.hops {
                rows.push(vec![
                    words(&panel.name),
                    words(&strand.label),
                    hop.from.to_string(),
                    hop.to.to_string(),
                    mm(hop.length_mm),
                    hop.parked.to_string(),
                ]);
            }
        }
    }
    Table { header: &["panel", "strand", "from_hole", "to_hole", "length_mm", "parked"], rows }
}

fn channels(plan: &Plan) -> Table {
    let rows = plan
        .channels
        .iter()
        .map(|channel| {
            let board = plan.boards.get(channel.board).map_or("", |board| board.label.as_str());
            vec![
                words(&channel.label),
                words(&channel.name),
                words(board),
                channel.output.to_string(),
                format!("{:.4}", channel.current_a),
                words(&channel.verdict),
            ]
        })
        .collect();
    Table { header: &["channel", "switches", "board", "output", "current_a", "verdict"], rows }
}

fn cables(plan: &Plan) -> Table {
    let mut rows = Vec::new();
    for cable in &plan.cables {
        for conductor in &cable.conductors {
            rows.push(vec![
                words(&cable.label),
                words(&cable.from),
                words(&cable.to),
                mm(cable.length_mm),
                words(&cable.size),
                conductor.number.to_string(),
                words(&conductor.carries),
                words(&conductor.from),
                words(&conductor.to),
                format!("{:.4}", conductor.current_a),
                conductor.returns_on.to_string(),
                format!("{:.4}", conductor.drop_v),
            ]);
        }
    }
    let header = &[
        "cable",
        "cable_from",
        "cable_to",
        "length_mm",
        "size",
        "conductor",
        "carries",
        "from_terminal",
        "to_terminal",
        "current_a",
        "returns_on",
        "drop_v",
    ];
    Table { header, rows }
}

fn parts(plan: &Plan) -> Table {
    let rows = plan
        .parts
        .iter()
        .map(|line| {
            vec![
                words(&line.part),
                words(&line.what),
                line.needed.to_string(),
                line.spare.to_string(),
                line.have.to_string(),
                line.buy.to_string(),
                words(&line.unit),
            ]
        })
        .collect();
    Table { header: &["part", "what", "needed", "spare", "have", "buy", "unit"], rows }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Quoting as in RFC 4180 section 2, rules 5 to 7.
    #[test]
    fn cells_are_quoted_and_never_formulas() {
        let table = Table {
            header: &["a", "b"],
            rows: vec![vec![words("fox, \"red\""), words("=1+1")], vec![words("-5"), words("two\nlines")]],
        };
        let text = String::from_utf8(written(&table).unwrap()).unwrap();
        assert_eq!(text, "a,b\n\"fox, \"\"red\"\"\",'=1+1\n'-5,\"two\nlines\"\n");
    }
}
