//! Several small numbers side by side as the place in a table, so that what is known under them is one look away.

/// A table of more places than this is not made; what it would hold is then looked up by hashing.
const MOST_BITS: u32 = 22;

/// Small numbers under the values of a few fields; 0 is nothing known. Fields get wider as their values grow.
#[derive(Clone, Debug, Default)]
pub(super) struct Dense {
    widths: Vec<u32>,
    /// Where each field begins in a place.
    pub(super) shifts: Vec<u32>,
    places: Vec<u32>,
}

impl Dense {
    pub(super) fn new(fields: usize) -> Self {
        let mut dense = Self { widths: vec![1; fields], shifts: Vec::new(), places: Vec::new() };
        dense.lay_out();
        dense
    }

    fn lay_out(&mut self) {
        let bits: u32 = self.widths.iter().sum();
        let mut at = 0;
        self.shifts.clear();
        for width in &self.widths {
            self.shifts.push(if bits > MOST_BITS { 0 } else { at });
            at += width;
        }
        self.places = if bits > MOST_BITS { Vec::new() } else { vec![0; 1 << bits] };
    }

    /// Whether there is a table at all.
    pub(super) fn is_there(&self) -> bool {
        !self.places.is_empty()
    }

    /// Makes room for a value of a field. What is known moves along; where the table gets too large, it is forgotten.
    pub(super) fn fit(&mut self, field: usize, value: u32) {
        let needed = u32::BITS - value.leading_zeros();
        if needed <= self.widths[field] {
            return;
        }
        let (old, low) = (std::mem::take(&mut self.places), self.shifts[field] + self.widths[field]);
        let wider = needed - self.widths[field];
        self.widths[field] = needed;
        self.lay_out();
        // All fields behind this one move by as much as it gets wider.
        for (place, known) in old.into_iter().enumerate().filter(|(_, known)| *known != 0) {
            let behind = place >> low << low;
            self.put((place - behind) | behind << wider, known);
        }
    }

    /// What is known at a place; 0 is nothing.
    #[inline]
    pub(super) fn at(&self, place: usize) -> u32 {
        self.places.get(place).copied().unwrap_or(0)
    }

    pub(super) fn put(&mut self, place: usize, value: u32) {
        if let Some(known) = self.places.get_mut(place) {
            *known = value;
        }
    }
}
