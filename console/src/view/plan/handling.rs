//! Pad and clamp in words.

use crate::plan::Handling;

/// How a pad or a clamp is chosen.
pub(super) struct Chosen {
    /// Which: `unknown` where it hangs on a coat of which nothing is known.
    pub(super) key: &'static str,
    /// Which, and why.
    pub(super) words: String,
}

/// The clamp, `light` or `normal`, and the pad, `anti-slip` or `normal`.
pub(super) fn clamp_and_pad(handling: &Handling) -> [Chosen; 2] {
    let coats =
        |coats: &[String], what: &str| (!coats.is_empty()).then(|| format!("{} {what}", coats.join(" and ")));
    let Handling { slippery, crazing, unknown, thin, light_below } = handling;
    let thin = thin.iter().map(|eye| format!("the {eye} lens is thinner than {light_below:.1} mm"));
    let light: Vec<String> = coats(crazing, "may craze").into_iter().chain(thin).collect();
    let light = (!light.is_empty()).then(|| light.join(", "));
    let slips = coats(slippery, "is slippery: check the axis after roughing");
    let unknown = coats(unknown, "is not in the settings: ask its maker");
    let chosen = |key, why: Option<String>| match (why, &unknown) {
        (Some(why), _) => Chosen { key, words: format!("{key}, {why}") },
        (None, Some(unknown)) => Chosen { key: "unknown", words: format!("not known, {unknown}") },
        (None, None) => Chosen { key: "normal", words: "normal".into() },
    };
    [chosen("light", light), chosen("anti-slip", slips)]
}
