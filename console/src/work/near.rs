//! What somebody may have meant who slipped on the keys.

/// The one of `known` that is written most like `typed`; none where none is alike. Two letters in each other's place are one
/// slip, and a word of up to seven letters may have one of them.
pub(crate) fn nearest<'k>(typed: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    let typed = typed.to_lowercase();
    let allowed = 1.max(typed.chars().count() / 4);
    let slips = |known: &str| strsim::osa_distance(&typed, &known.to_lowercase());
    let alike = known.map(|known| (slips(known), known)).filter(|(slips, _)| *slips <= allowed);
    alike.min_by_key(|(slips, _)| *slips).map(|(_, known)| known).filter(|_| typed.chars().count() > 2)
}

/// Whether two words are one, in whatever letters.
pub(super) fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}
