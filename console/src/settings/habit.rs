//! First sizes and steps as a settings file writes them.

use super::millimetres::{exact_length, millimetres};
use bevelbook_core::sizing::{Basis, Habit, Rim};
use bevelbook_core::units::Length;
use serde::{Deserialize, Deserializer};

/// [`Habit`] as the file writes it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HabitTable {
    basis: Basis,
    #[serde(deserialize_with = "first_sizes")]
    first: [Length; Rim::ALL.len()],
    #[serde(deserialize_with = "millimetres")]
    step_far: Length,
    #[serde(deserialize_with = "millimetres")]
    step_just: Length,
}

pub(super) fn habit<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Habit, D::Error> {
    let HabitTable { basis, first, step_far, step_just } = HabitTable::deserialize(deserializer)?;
    Ok(Habit { basis, first, step_far, step_just })
}

fn first_sizes<'de, D: Deserializer<'de>>(deserializer: D) -> Result<[Length; 4], D::Error> {
    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct ByRim {
        metal: f64,
        plastic: f64,
        grooved: f64,
        rimless: f64,
    }
    let by_rim = ByRim::deserialize(deserializer)?;
    let mut sizes = [Length::ZERO; 4];
    for rim in Rim::ALL {
        sizes[rim as usize] = exact_length(match rim {
            Rim::Metal => by_rim.metal,
            Rim::Plastic => by_rim.plastic,
            Rim::Grooved => by_rim.grooved,
            Rim::Rimless => by_rim.rimless,
        })?;
    }
    Ok(sizes)
}
