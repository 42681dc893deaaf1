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
