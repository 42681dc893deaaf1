//! Where the values of a plan came from.

use finding::Origin;
use serde::Serialize;
use std::collections::BTreeMap;

/// Origins by place in the plan. A place is a JSON pointer into `plan.json` (`/panels/0/width_mm`); an origin holds for
/// everything beneath its place that has none of its own. A stage gives the origins of what it gives, with places relative
/// to it; the planner adopts them.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Origins(BTreeMap<String, Origin>);

impl Origins {
    /// Notes where the value at a place came from.
    pub fn note(&mut self, place: impl Into<String>, origin: Origin) {
        self.0.insert(place.into(), origin);
    }

    /// Takes over the origins of a part of the plan, whose places are relative to it (`/rope_mm`), under the part's own
    /// place (`/spans/0`).
    pub fn adopt(&mut self, under: &str, part: &Self) {
        for (place, origin) in &part.0 {
            self.0.insert(format!("{under}{place}"), origin.clone());
        }
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
