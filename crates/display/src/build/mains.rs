//! Building the mains side.

use super::Building;
use crate::keys::{REGISTERS, REGISTERS_RULE};
use crate::model::{Circuit, Cord, GroundFault, Mains, Panel};
use finding::{Known, Origin};
use parts::reader::Values;

/// The mains of the house.
pub(crate) fn mains(values: &Values) -> Option<Known<Mains>> {
    let written = values.words("mains")?;
    Some(written.map(|words| if words.starts_with("120") { Mains::V120 } else { Mains::V230 }))
}

/// The circuits of the house.
pub(crate) fn circuits(values: &Values) -> Vec<Circuit> {
    values.named("circuit").filter_map(|(name, _, values)| circuit(name, values)).collect()
}

fn circuit(name: &str, values: &Values) -> Option<Circuit> {
    let cord = values.table("cord")?;
    let device = values.words("ground-fault")?;
    Some(Circuit {
        name: name.to_owned(),
        breaker: values.current("breaker")?,
        ground_fault: device.map(|words| {
            let kinds = [GroundFault::ClassA, GroundFault::Rcd30TypeA];
            kinds.into_iter().find(|kind| kind.words() == words).unwrap_or(GroundFault::None)
        }),
        cord: Cord { size: cord.wire_size("size")?, length: cord.length("length")? },
    })
}

/// The part that a table names.
pub(crate) fn part_of(values: &Values, table: &str) -> Option<Known<String>> {
    values.table(table)?.words("part")
}

/// The register board.
pub(crate) fn registers(values: &Values) -> Known<String> {
    part_of(values, "register-board")
        .unwrap_or_else(|| Known::new(REGISTERS.to_owned(), Origin::Default(REGISTERS_RULE)))
}

impl Building<'_> {
    /// The circuit that feeds the supply; every circuit that is named anywhere must be there.
    pub(crate) fn feeds(
        &mut self,
        values: &Values,
        circuits: &[Circuit],
        panels: &[Panel],
    ) -> Option<Known<String>> {
        let find = |name: &str| circuits.iter().position(|circuit| circuit.name == name);
        for panel in panels {
            let entry = values.table("panel").and_then(|all| all.table(&panel.name)?.entry("circuit"));
            if let Some(entry) = entry {
                self.named_thing("circuit", entry, values, find);
            }
        }
        let entry = values.table("supply")?.entry("circuit")?;
        self.named_thing("circuit", entry, values, find)?;
        Some(Known::new(entry.words()?.to_owned(), entry.origin()))
    }
}
