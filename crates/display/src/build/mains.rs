//! Building the mains side.

use super::{Building, part, part_or};
use crate::keys::{REGISTERS, REGISTERS_RULE};
use crate::model::{Circuit, Cord, GroundFault, Mains, Panel};
use finding::Known;
use parts::reader::Values;
use parts::{RegisterBoard, SwitchBox};

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

impl Building<'_> {
    /// The listed box that switches mains strands, and the board that controls it.
    pub(crate) fn switching(
        &mut self,
        values: &Values,
    ) -> (Option<Known<SwitchBox>>, Option<Known<RegisterBoard>>) {
        let named = |table: &str| values.table(table).and_then(|table| table.entry("part"));
        let (shelf, faults) = (&self.shelf, &mut self.faults);
        let switch_box =
            named("switch-box").and_then(|entry| part(&shelf.switch_boxes, entry, "switch box", faults));
        let registers = part_or(
            &shelf.register_boards,
            named("register-board"),
            REGISTERS,
            REGISTERS_RULE,
            "register board",
            faults,
        );
        (switch_box, registers)
    }

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
