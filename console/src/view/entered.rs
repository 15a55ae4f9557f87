//! How a fact of the bench was entered, as it is shown.

use super::Figure;
use crate::work::HowEntered;
use bevelbook_core::record::Asked;
use std::fmt;

view! {
    /// What was accepted as it was preset, what was read, and how long that took at most.
    pub EnteredView of (how: &HowEntered) {
        preset: Vec<String> = names(&how.preset),
        read: Vec<String> = names(&how.read),
        within_s: Option<Figure> = how.within_ms.map(Figure::seconds),
        /// Whether it was one of several that were accepted by one press.
        #[serde(skip)]
        along: bool = how.preset == [Asked::Good],
    }
}

fn names(asked: &[Asked]) -> Vec<String> {
    asked.iter().map(Asked::to_string).collect()
}

impl EnteredView {
    /// In words, where there is more to say than that somebody typed it.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let typed = self.preset.is_empty() && self.within_s.is_none();
        (!typed).then(|| self.to_string())
    }
}

impl fmt::Display for EnteredView {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.preset.as_slice(), self.read.as_slice()) {
            ([_], []) if self.along => return f.write_str("accepted along with others"),
            ([], _) => f.write_str("read")?,
            (_, []) => f.write_str("accepted as preset")?,
            (preset, _) => write!(f, "{} accepted as preset, the rest read", preset.join(", "))?,
        }
        self.within_s.map_or(Ok(()), |within| write!(f, ", {within:#}"))
    }
}
