//! Pad and clamp in words.

use crate::plan::Handling;

/// `light`, `normal`, or `unknown` where that hangs on a coat of which nothing is known.
pub(super) fn clamp(handling: &Handling) -> &'static str {
    match handling {
        Handling { crazing, thin, .. } if !crazing.is_empty() || !thin.is_empty() => "light",
        Handling { unknown, .. } if !unknown.is_empty() => "unknown",
        _ => "normal",
    }
}

/// `anti-slip`, `normal`, or `unknown` likewise.
pub(super) fn pad(handling: &Handling) -> &'static str {
    match handling {
        Handling { slippery, .. } if !slippery.is_empty() => "anti-slip",
        Handling { unknown, .. } if !unknown.is_empty() => "unknown",
        _ => "normal",
    }
}

/// What is said of clamp and pad.
pub(super) fn words(handling: &Handling) -> [(&'static str, String); 2] {
    let coats =
        |coats: &[String], what: &str| (!coats.is_empty()).then(|| format!("{} {what}", coats.join(" and ")));
    let Handling { slippery, crazing, unknown, thin, light_below } = handling;
    let thin = thin.iter().map(|eye| format!("the {eye} lens is thinner than {light_below:.1} mm"));
    let light: Vec<String> = coats(crazing, "may craze").into_iter().chain(thin).collect();
    let unknown = coats(unknown, "is not in the settings: ask its maker");
    let clamp = match (light.as_slice(), &unknown) {
        ([], None) => "normal".into(),
        ([], Some(unknown)) => format!("not known, {unknown}"),
        (light, _) => format!("light, {}", light.join(", ")),
    };
    let pad = match (coats(slippery, "is slippery"), unknown) {
        (None, None) => "normal".into(),
        (None, Some(unknown)) => format!("not known, {unknown}"),
        (Some(slippery), _) => format!("anti-slip, {slippery}: check the axis after roughing"),
    };
    [("clamp", clamp), ("pad", pad)]
}
