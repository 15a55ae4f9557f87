//! What stands beside a verdict, in words, as screen and paper list it.

use super::{BesideView, InspectionView};
use crate::inspection::Kind;
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Subject;

impl InspectionView {
    /// What is likely a mistake, bad or unusual, and what was entered without a look, which is asked about and changes no
    /// verdict.
    #[must_use]
    pub fn look(&self) -> Vec<String> {
        let bad = self.open.iter().filter(|open| open.kind == Kind::Bad);
        let unusual =
            self.beside().filter(|(_, beside)| beside.unusual).map(|(uncut, beside)| beside.told(uncut));
        let likely = self.warnings.iter().chain(bad).map(|likely| likely.text.clone());
        likely.chain(unusual).chain(self.looked_at.iter().map(|asked| asked.text.clone())).collect()
    }

    /// What no verdict is given on: first what was measured and is as usual, then what was not measured.
    #[must_use]
    pub fn not_checked(&self) -> Vec<String> {
        let usual = self.beside().filter(|(_, beside)| !beside.unusual).map(|(uncut, beside)| {
            let stage = if uncut { "uncut " } else { "" };
            format!("{stage}{}", beside.whose())
        });
        let usual: Vec<String> = usual.collect();
        let usual =
            (!usual.is_empty()).then(|| format!("no limit, within what is usual: {}", usual.join(", ")));
        usual.into_iter().chain(self.unlimited.iter().map(|left| left.text.clone())).collect()
    }

    /// What was not looked at beside the optics, behind whose it is, once where it is the same of both lenses.
    #[must_use]
    pub fn to_do(&self) -> Vec<(&'static str, String)> {
        let of = |subject| -> Vec<&str> {
            self.open.iter().filter(|open| open.subject == subject).map(|open| &*open.what).collect()
        };
        let [right, left] = Eye::BOTH.map(|eye| of(Subject::Eye(eye)));
        let (whose, left) = if right == left { ("both", Vec::new()) } else { ("right", left) };
        let groups = [(whose, right), ("left", left), ("pair", of(Subject::Pair))];
        let told = groups.into_iter().filter(|(_, words)| !words.is_empty());
        told.map(|(whose, words)| (whose, words.join("; "))).collect()
    }

    /// What was measured without a limit, of the mounted pair and of the lenses before, with the latter told apart.
    fn beside(&self) -> impl Iterator<Item = (bool, &BesideView)> {
        let uncut = self.eyes().into_iter().filter_map(|eye| eye.uncut.as_ref());
        let uncut = uncut.flat_map(|uncut| uncut.unjudged.iter().map(|beside| (true, beside)));
        self.unjudged.iter().map(|beside| (false, beside)).chain(uncut)
    }
}
