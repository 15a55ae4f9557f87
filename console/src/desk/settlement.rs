//! Which of two different records under one number counts.

use bevelbook_core::record::RecordId;
use serde::{Deserialize, Serialize};

/// Which of them counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Keep {
    /// The one in the book; the other is set aside for good.
    Book,
    /// The one that arrived later, which the console logs anew; the one in the book is voided.
    Arrived,
}

/// It was decided between the record in the book and one that arrived under its number and says something else.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Settlement {
    /// The number that both have.
    pub record: RecordId,
    /// The digest of what the one that arrived says.
    pub arrived: String,
    /// Which of them counts.
    pub keep: Keep,
}
