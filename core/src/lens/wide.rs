//! Products and quotients wider than a register, each in one place: the smallest processors take many steps for them.

/// A whole product.
#[inline(never)]
pub(super) fn product(one: i64, other: i64) -> i128 {
    i128::from(one) * i128::from(other)
}

/// `part / whole` to the nearest integer, halves away from zero; none where `whole` is zero or the result too large. What
/// both come to keeps below 2¹²⁶.
#[inline(never)]
pub(super) fn quotient(part: i128, whole: u128) -> Option<i64> {
    let size = (part.unsigned_abs() + whole / 2).checked_div(whole)?;
    let size = i64::try_from(size).ok()?;
    Some(if part < 0 { -size } else { size })
}
