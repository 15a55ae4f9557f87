//! What the keypads were last told of the shop's choices.

use bevelbook_core::record::Flow;
use bevelbook_core::sizing::Habit;
use serde::{Deserialize, Serialize};

/// The shop's choices that keypads hold, as the settings had them. Put down when they change, so that what a keypad was
/// told before is told anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Choices {
    /// First sizes and steps.
    #[serde(flatten)]
    pub habit: Habit,
    /// How the shop goes along the line.
    #[serde(default)]
    pub flow: Flow,
    /// What a pair is judged by: a name for it and for every choice in it.
    #[serde(default)]
    pub judged_by: String,
    /// What advice by the book rests on, in words.
    #[serde(default)]
    pub advised_by: String,
}
