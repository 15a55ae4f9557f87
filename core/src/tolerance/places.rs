//! What a shop asks for beyond a table.

use super::Rule;

/// How far each eye's place may be off, whatever the power and the design: what a shop asks for beyond a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Places {
    /// From its monocular PD, µm.
    pub pd_each_eye: Option<Rule>,
    /// In height, µm.
    pub heights: Option<Rule>,
}

impl Places {
    /// Nothing is asked for.
    pub const NONE: Self = Self { pd_each_eye: None, heights: None };

    /// Whether one of its limits names this source.
    pub(super) fn cites(&self, source: &str) -> bool {
        [self.pd_each_eye, self.heights].into_iter().flatten().any(|rule| rule.source == source)
    }
}
