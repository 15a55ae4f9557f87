//! An order asked for step by step.
use super::Failure;
use super::order_understood::{Before, Understood};

pub(crate) fn can_ask() -> bool {
    false
}

pub(crate) fn asked(_seen: &Before) -> Result<Option<Understood>, Failure> {
    Ok(None)
}
