//! The printed recipe: book, templates, tables.
//!
//! Everything here reads the plan and works out nothing of its own but where things stand on paper. The same plan
//! always gives the same bytes.

mod cut;
mod drawing;
mod labels;
mod plate;
mod play;
mod press;
mod say;
mod tables;
mod template;
mod view;

pub use play::Beside;

use finding::Sheet;
use plan::Plan;
use rules::form::Form;
use std::collections::BTreeMap;
use std::fmt;

/// Why a part of the recipe could not be made. Each is a defect of this program, never the builder's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BookFault {
    /// The typesetter refused.
    Typesetting(String),
    /// A cutting file could not be written.
    Cutting(String),
    /// A table could not be written.
    Table(String),
}

impl fmt::Display for BookFault {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Typesetting(why) => write!(out, "the book could not be set: {why}"),
            Self::Cutting(why) => write!(out, "a cutting file could not be written: {why}"),
            Self::Table(why) => write!(out, "a table could not be written: {why}"),
        }
    }
}

impl std::error::Error for BookFault {}

/// Book, templates and tables of a plan, by their paths in the recipe's folder. What a danger withholds is not among
/// them; the book says why in its place.
///
/// # Errors
/// When a file cannot be made, which no plan should bring about.
pub fn recipe(plan: &Plan, form: &Form) -> Result<BTreeMap<String, Vec<u8>>, BookFault> {
    recipe_with(plan, form, &Beside::default())
}

/// The same, with what was worked out about playing.
///
/// # Errors
/// As [`recipe`].
pub fn recipe_with(
    plan: &Plan,
    form: &Form,
    beside: &Beside,
) -> Result<BTreeMap<String, Vec<u8>>, BookFault> {
    // The book takes about as long as all templates together.
    let (templates, book) = side_by_side(
        || templates(plan),
        || press::print("book.typ", &view::book(plan, form, beside), "book"),
    );
    let book = book?;
    let mut files = templates?;
    files.insert("book.pdf".to_owned(), book);
    tables::add(&mut files, plan)?;
    Ok(files)
}

/// Two works at the same time.
fn side_by_side<A: Send, B>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let one = scope.spawn(one);
        let other = other();
        match one.join() {
            Ok(one) => (one, other),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Templates and cutting files, where nothing withholds them.
fn templates(plan: &Plan) -> Result<BTreeMap<String, Vec<u8>>, BookFault> {
    let mut files = BTreeMap::new();
    if plan.withholds(Sheet::Templates) {
        return Ok(files);
    }
    for (panel, name) in plan.panels.iter().zip(file_names(plan)) {
        // Twins are drilled face to face under one template: that of the other.
        if !plan.panels.iter().any(|other| panel.twin_of.as_deref() == Some(other.name.as_str())) {
            template::add(&mut files, plan, panel, &name)?;
        }
        files.insert(format!("templates/{name}.svg"), cut::svg(panel));
        files.insert(format!("templates/{name}.dxf"), cut::dxf(panel)?);
    }
    Ok(files)
}

/// A file name for each panel: its name with everything that could trouble a file system replaced, each one different.
fn file_names(plan: &Plan) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for panel in &plan.panels {
        let plain: String = panel
            .name
            .chars()
            .map(|c| if c.is_alphanumeric() || c == '-' || c == '_' { c } else { '-' })
            .take(60)
            .collect();
        let plain = if plain.is_empty() { "panel".to_owned() } else { plain };
        let mut name = plain.clone();
        let mut next = 2;
        while names.iter().any(|taken| taken.to_lowercase() == name.to_lowercase()) {
            name = format!("{plain}-{next}");
            next += 1;
        }
        names.push(name);
    }
    names
}
