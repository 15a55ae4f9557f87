//! What every page is: one self-contained file, with the style and the mark of a sheet.

use crate::view::inspection::InspectionView;
use crate::view::plan::PlanView;
use crate::work::Job;
use jiff::ZonedDateTime;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What tells a sheet from any other file; it stands near the file's beginning.
pub(super) const MARKER: &str = "<meta name=\"generator\" content=\"bevelbook sheet\"/>";

const STYLE: &str = include_str!("style.css");

/// What a page is made of.
pub(super) struct Content<'c> {
    pub(super) job: &'c Job,
    pub(super) plan: &'c PlanView,
    pub(super) inspection: &'c InspectionView,
    /// The customer's, where it is to be printed.
    pub(super) name: Option<&'c str>,
    pub(super) now: &'c ZonedDateTime,
}

/// A page of a kind, by which the style knows it.
pub(super) fn document(kind: &str, title: &str, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                // Written out, so that the page is well-formed XML too: maud leaves such elements open.
                (PreEscaped("<meta charset=\"utf-8\"/>"))
                (PreEscaped(MARKER))
                (PreEscaped("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>"))
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body class=(kind) { (body) }
        }
    }
}

/// A name and its value in a head.
pub(super) fn entry(name: &str, value: &str) -> Markup {
    html! { div { dt { (name) } dd { (super::words::own(value)) } } }
}
