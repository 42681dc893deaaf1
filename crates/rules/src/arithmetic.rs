//! What two operands come to: the one arithmetic of everything that plays or proves rules here.

use crate::form::Two;

impl Two {
    /// The result for two operands. The reader has proved that nothing overflows and nothing is divided by 0; this stays
    /// total all the same.
    #[must_use]
    pub fn of(self, a: i32, b: i32) -> i32 {
        match self {
            Self::Add => a.wrapping_add(b),
            Self::Sub => a.wrapping_sub(b),
            Self::Mul => a.wrapping_mul(b),
            Self::Div => a.checked_div(b).unwrap_or(0),
            Self::Rem => a.checked_rem(b).unwrap_or(0),
            Self::Min => a.min(b),
            Self::Max => a.max(b),
            Self::Eq => i32::from(a == b),
            Self::Ne => i32::from(a != b),
            Self::Lt => i32::from(a < b),
            Self::Le => i32::from(a <= b),
            Self::Gt => i32::from(a > b),
            Self::Ge => i32::from(a >= b),
            Self::And => i32::from(a != 0 && b != 0),
            Self::Or => i32::from(a != 0 || b != 0),
        }
    }
}

/// Every value is at least the first and at most the second.
pub type Interval = (i64, i64);

/// True, false, or either where it is not known.
pub fn truth(known: Option<bool>) -> Interval {
    known.map_or((0, 1), |known| (i64::from(known), i64::from(known)))
}

/// Whether an interval is certainly true or certainly false.
pub fn decided(value: Interval) -> Option<bool> {
    match value {
        (0, 0) => Some(false),
        (low, high) if low > 0 || high < 0 => Some(true),
        _ => None,
    }
}

impl Two {
    /// An interval that holds every result for operands out of two intervals (interval arithmetic: R. E. Moore, "Interval
    /// Analysis", Prentice-Hall 1966; from memory). It holds what [`Two::of`] gives as long as that does not wrap, which
    /// the reader proves with it.
    #[must_use]
    pub fn between(self, a: Interval, b: Interval) -> Interval {
        let corners = |of: fn(i64, i64) -> i64| {
            let all = [of(a.0, b.0), of(a.0, b.1), of(a.1, b.0), of(a.1, b.1)];
            (all.into_iter().fold(i64::MAX, i64::min), all.into_iter().fold(i64::MIN, i64::max))
        };
        let greatest = |of: Interval| of.0.saturating_abs().max(of.1.saturating_abs());
        let less = |sure: bool, never: bool| truth(if sure { Some(true) } else { never.then_some(false) });
        let equal = if a.0 == a.1 && a == b { Some(true) } else { (a.1 < b.0 || b.1 < a.0).then_some(false) };
        match self {
            Self::Add => (a.0.saturating_add(b.0), a.1.saturating_add(b.1)),
            Self::Sub => (a.0.saturating_sub(b.1), a.1.saturating_sub(b.0)),
            Self::Mul => corners(i64::saturating_mul),
            Self::Div if b.0 > 0 || b.1 < 0 => corners(|x, y| x.checked_div(y).unwrap_or(0)),
            // A divisor's least and greatest value alone do not bound the quotient where they have 1 or -1 between them.
            Self::Div => (-greatest(a), greatest(a)),
            // A remainder is less than the divisor, and has the sign of what is divided.
            Self::Rem => {
                let most = (greatest(b) - 1).max(0);
                (a.0.clamp(-most, 0), a.1.clamp(0, most))
            }
            Self::Min => (a.0.min(b.0), a.1.min(b.1)),
            Self::Max => (a.0.max(b.0), a.1.max(b.1)),
            Self::Eq => truth(equal),
            Self::Ne => truth(equal.map(|known| !known)),
            Self::Lt => less(a.1 < b.0, a.0 >= b.1),
            Self::Le => less(a.1 <= b.0, a.0 > b.1),
            Self::Gt => less(a.0 > b.1, a.1 <= b.0),
            Self::Ge => less(a.0 >= b.1, a.1 < b.0),
            Self::And => match (decided(a), decided(b)) {
                (Some(false), _) | (_, Some(false)) => (0, 0),
                (Some(true), Some(true)) => (1, 1),
                _ => (0, 1),
            },
            Self::Or => match (decided(a), decided(b)) {
                (Some(true), _) | (_, Some(true)) => (1, 1),
                (Some(false), Some(false)) => (0, 0),
                _ => (0, 1),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Two; 15] = [
        Two::Add,
        Two::Sub,
        Two::Mul,
        Two::Div,
        Two::Rem,
        Two::Min,
        Two::Max,
        Two::Eq,
        Two::Ne,
        Two::Lt,
        Two::Le,
        Two::Gt,
        Two::Ge,
        Two::And,
        Two::Or,
    ];

    /// Every interval within -4..4 with every other: all results are within, and the ends are met wherever both intervals
    /// keep their sign.
    #[test]
    fn intervals_hold_every_result() {
        let intervals = || (-4_i32..=4).flat_map(|low| (low..=4).map(move |high| (low, high)));
        for f in ALL {
            for (a, b) in intervals().flat_map(|a| intervals().map(move |b| (a, b))) {
                let wide = |of: (i32, i32)| (i64::from(of.0), i64::from(of.1));
                let (low, high) = f.between(wide(a), wide(b));
                let results = (a.0..=a.1).flat_map(|x| (b.0..=b.1).map(move |y| i64::from(f.of(x, y))));
                let (least, most) =
                    results.fold((i64::MAX, i64::MIN), |(least, most), one| (least.min(one), most.max(one)));
                assert!(
                    low <= least && most <= high,
                    "{f:?} {a:?} {b:?}: {least}..{most}, not {low}..{high}"
                );
                if a.0 > 0 && b.0 > 0 && f != Two::Rem {
                    assert_eq!((low, high), (least, most), "{f:?} {a:?} {b:?}");
                }
            }
        }
    }
}
