//! Where the values of a plan came from.

use finding::Origin;
use serde::Serialize;
use std::collections::BTreeMap;

/// Origins by place in the plan. A place is a JSON pointer into `plan.json` (`/panels/0/width_mm`); an origin holds for
/// everything beneath its place that has none of its own.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Origins(BTreeMap<String, Origin>);

impl Origins {
    /// Notes where the value at a place came from.
    pub fn note(&mut self, place: impl Into<String>, origin: Origin) {
        self.0.insert(place.into(), origin);
    }

    /// Where the value at a place came from: its own origin, or that of the nearest place above it.
    pub fn of(&self, place: &str) -> Option<&Origin> {
        let mut place = place;
        loop {
            if let Some(origin) = self.0.get(place) {
                return Some(origin);
            }
            place = &place[..place.rfind('/')?];
        }
    }

    /// All of them, in the order of their places.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Origin)> {
        self.0.iter().map(|(place, origin)| (place.as_str(), origin))
    }
}
