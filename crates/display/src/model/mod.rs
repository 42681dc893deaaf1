//! The description as read: plain data, every value with its origin.

mod mains;
mod yard;

pub use mains::{Circuit, Cord, GroundFault, Mains};
pub use yard::{Clock, Digits, Hangs, HangsAlong, Object, Post, Season, Site, Span, Spot, Stands, Tie};

use drawing::Drawing;
use finding::{Known, Origin};
use parts::{
    Controller, DriverBoard, PushButton, RegisterBoard, SheetGood, Shelf, Strand, Supply, SwitchBox,
};
use quantity::{Length, Units};
use rules::form::Form;
use rules::interface::Interface;
use source::KeyPath;

/// A display as far as it could be read. What has faults is left out or stands at its default; `troubles` says what, and
/// nothing is built before there are none.
#[derive(Clone, Debug)]
pub struct Display {
    /// Its title.
    pub title: String,
    /// What reports print.
    pub units: Units,
    /// Where the units were said.
    pub units_origin: Origin,
    /// Nearest viewer.
    pub nearest: Known<Length>,
    /// Farthest viewer.
    pub farthest: Known<Length>,
    /// The figures, in the description's order.
    pub figures: Vec<Figure>,
    /// The panels, in the description's order; a figure that no panel names stands on a panel of its own name.
    pub panels: Vec<Panel>,
    /// The posts.
    pub posts: Vec<Post>,
    /// The spans.
    pub spans: Vec<Span>,
    /// The objects that hang from spans.
    pub objects: Vec<Object>,
    /// The digits, in the description's order.
    pub digits: Vec<Digits>,
    /// The buttons.
    pub buttons: Vec<Button>,
    /// Where on the globe it stands, when it runs, what wind it bears.
    pub site: Site,
    /// The mains of the house; none for low voltage only.
    pub mains: Option<Known<Mains>>,
    /// The circuits of the house.
    pub circuits: Vec<Circuit>,
    /// The listed box that switches mains strands.
    pub switch_box: Option<Known<SwitchBox>>,
    /// The board whose outputs control the switch boxes.
    pub register_board: Option<Known<RegisterBoard>>,
    /// The circuit that feeds the supply, by name.
    pub supply_circuit: Option<Known<String>>,
    /// What feeds everything: its name on the shelf or in the catalogue, and the part.
    pub supply: Option<Known<Supply>>,
    /// The board that switches 12 V.
    pub driver_board: Option<Known<DriverBoard>>,
    /// Boards there are already, which come before all others of them in the chain.
    pub first_boards: Vec<Known<DriverBoard>>,
    /// The controller.
    pub controller: Option<Known<Controller>>,
    /// The rules, as every player reads them; without any machine where they could not be read.
    pub form: Form,
    /// The names the rules may use.
    pub interface: Interface,
    /// All parts there are: the catalogue with the builder's own.
    pub shelf: Shelf,
    /// What has faults.
    pub troubles: Vec<Trouble>,
}

/// Something written that has faults.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// What: `figure.fox`, `supply`, `rules`, `shelf`.
    pub about: KeyPath,
    /// The codes of its faults.
    pub codes: Vec<&'static str>,
}

impl Display {
    /// The codes of the faults of whatever is written under this key: of one table, or of all tables of a kind.
    pub fn trouble_with(&self, key: &str) -> Vec<&'static str> {
        let wanted = KeyPath::dotted(key);
        let about = self.troubles.iter().filter(|trouble| trouble.about.0.starts_with(&wanted.0));
        let mut codes: Vec<&'static str> = about.flat_map(|trouble| trouble.codes.iter().copied()).collect();
        codes.sort_unstable();
        codes.dedup();
        codes
    }
}

/// A figure to be drawn in lights.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its name.
    pub name: String,
    /// Its drawing; one group for each pose, y down, in the drawing's own units.
    pub drawing: Drawing,
    /// How tall it is to be, from the lowest to the highest point of all poses together.
    pub height: Known<Length>,
    /// Strands it may be built from, preferred first; none where none could be read.
    pub strands: Vec<Known<Strand>>,
    /// What it is drilled in.
    pub sheet: Option<Known<SheetGood>>,
}

/// A rigid sheet that carries a figure.
#[derive(Clone, Debug)]
pub struct Panel {
    /// Its name.
    pub name: String,
    /// Its figure, by position in [`Display::figures`].
    pub figure: usize,
    /// Whether the figure is turned over, left for right.
    pub mirrored: Known<bool>,
    /// Where and how it stands; none where that is not written.
    pub stands: Option<Stands>,
    /// The circuit that feeds its mains strands, by name.
    pub circuit: Option<Known<String>>,
    /// From the panel to the driver board, along the way the cable takes.
    pub cable: Known<Length>,
}

/// A push-button.
#[derive(Clone, Debug)]
pub struct Button {
    /// Its name.
    pub name: String,
    /// Whether it has a lamp; the lamp is a spot of the button's name.
    pub lamp: bool,
    /// The part.
    pub part: Option<Known<PushButton>>,
    /// Where it stands; none where that is not written.
    pub at: Option<Spot>,
    /// Its height above the ground.
    pub lifted: Known<Length>,
    /// From the button to the controller, along the way the cable takes.
    pub cable: Known<Length>,
}
