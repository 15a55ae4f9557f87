//! What a refusal goes on to say: what is there, and what to type.

use super::uncaused::Uncaused;
use crate::shell::word;
use bevelbook_core::prescription::Eye;

/// What to do while the dial is not stated.
pub(super) fn not_stated(called: Option<&str>) -> String {
    let (is, flag) = called
        .map_or_else(Default::default, |name| (format!(" {name}"), format!(" --station {}", word(name))));
    format!(
        "the station{is} has not stated its dial; say once what its figures count, for example:\n  \
         bevelbook station dial{flag} --basis diameter --absolute --step 0.05\n  \
         `bevelbook station dial --help` tells how to find the basis out"
    )
}

pub(super) fn first(known: &[String]) -> String {
    word(known.first().map_or("Edge 1", String::as_str))
}

/// Which stations there are.
pub(super) fn stations(known: &[String]) -> String {
    match known {
        [] => "this shop has one and no name for it, which `bevelbook station name` gives it".into(),
        known => format!("there is {}; `bevelbook station add` begins another one", known.join(", ")),
    }
}

pub(super) const fn kept(stays: bool) -> &'static str {
    if stays { " (of the one that stays its reading in the frame is taken, and nothing else)" } else { "" }
}

pub(super) fn lenses(eyes: &[Eye]) -> String {
    match eyes {
        [eye] => format!("{eye} lens"),
        _ => "pair".into(),
    }
}

/// Which of its lenses an eye could be asked about, and what to type for each.
pub(super) fn which_lens(present: u8, earlier: &[Uncaused]) -> String {
    let Some(Uncaused { eye, .. }) = earlier.first() else { return String::new() };
    let lenses = earlier.iter().map(|Uncaused { lens, .. }| {
        format!("\n  --lens {lens} tells why {eye} lens {lens} was spoiled; lens {present} stays as it is")
    });
    format!(
        "which {eye} lens was spoiled? Nothing was changed; say it:{}\n  --lens {present} gives lens {present} up, and \
         the {eye} eye goes on with the next one",
        lenses.collect::<String>()
    )
}
