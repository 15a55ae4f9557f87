//! Lengths as a settings file writes them: numbers of millimetres.

use bevelbook_core::units::Length;
use serde::{Deserialize, Deserializer};

pub(super) fn exact_length<E: serde::de::Error>(number: f64) -> Result<Length, E> {
    // The shortest text of a number is what a person typed.
    Length::parse(&number.to_string()).map_err(|e| E::custom(format!("{number}: {e}")))
}

pub(super) fn millimetres<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Length, D::Error> {
    exact_length(f64::deserialize(deserializer)?)
}

pub(super) fn all_millimetres<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Length>, D::Error> {
    Vec::<f64>::deserialize(deserializer)?.into_iter().map(exact_length).collect()
}

pub(super) fn maybe_millimetres<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<Option<Length>, D::Error> {
    millimetres(deserializer).map(Some)
}
