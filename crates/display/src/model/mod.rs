//! The description as read: plain data, every value with its origin.

mod mains;
mod yard;

pub use mains::{Circuit, Cord, GroundFault, Mains};
pub use yard::{Clock, Digits, Hangs, HangsAlong, Object, Post, Season, Site, Span, Spot, Stands, Tie};

use drawing::Drawing;
use finding::Known;
use parts::{Controller, DriverBoard, SheetGood, Strand, Supply};
use quantity::{Length, Units};
use rules::form::Form;
use rules::interface::Interface;

/// One whole display, ready to be planned.
#[derive(Clone, Debug)]
pub struct Display {
    /// Its title.
    pub title: String,
    /// What reports print.
    pub units: Units,
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
    /// The listed box that switches mains strands, by name.
    pub switch_box: Option<Known<String>>,
    /// The board whose outputs control the switch boxes, by name.
    pub register_board: Known<String>,
    /// The circuit that feeds the supply, by name.
    pub supply_circuit: Option<Known<String>>,
    /// What feeds everything: its name on the shelf or in the catalogue, and the part.
    pub supply: Known<Supply>,
    /// The board that switches 12 V.
    pub driver_board: Known<DriverBoard>,
    /// The controller.
    pub controller: Known<Controller>,
    /// The rules, as every player reads them.
    pub form: Form,
    /// The names the rules may use.
    pub interface: Interface,
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
    /// Strands it may be built from, preferred first.
    pub strands: Vec<Known<Strand>>,
    /// What it is drilled in.
    pub sheet: Known<SheetGood>,
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
    /// Where it stands; none where that is not written.
    pub at: Option<Spot>,
    /// Its height above the ground.
    pub lifted: Known<Length>,
    /// From the button to the controller, along the way the cable takes.
    pub cable: Known<Length>,
}
