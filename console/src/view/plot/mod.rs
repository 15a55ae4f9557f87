//! A plot as one SVG: nothing fetched, no script, no colour that has to be told from another. The ground is the drawing's own,
//! dark where that is preferred.

use bevelbook_core::link::plain;
use maud::{Markup, PreEscaped, html};

/// What tells a plot from any other file; it stands near the file's beginning.
const MARKER: &str = "<!-- bevelbook history -->";

const STYLE: &str = include_str!("plot.css");

/// From the edge to what is drawn, and from the top to the first panel, in units of the drawing: pixels at its own size.
pub(super) const MARGIN: f64 = 16.0;
pub(super) const HEAD: f64 = 64.0;

/// What is drawn below the title, and how wide and high it comes.
pub(super) struct Drawn {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) markup: Markup,
}

/// Whether a file that begins with `bytes` is a plot.
pub(crate) fn is_plot(bytes: &[u8]) -> bool {
    bytes.starts_with(MARKER.as_bytes())
}

/// The plot under its title, read out sentence by sentence, with a line at its foot.
pub(super) fn svg(title: &str, told: &[String], drawn: &Drawn, foot: &str) -> String {
    let Drawn { width, height, markup } = drawn;
    let title: String = plain(title).collect();
    let svg = html! {
        (PreEscaped(MARKER)) "\n"
        svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title told"
            width=(width) height=(height) viewBox=(format!("0 0 {width} {height}")) {
            title id="title" { (title) }
            desc id="told" { @for told in told { (told) ". " } }
            style { (PreEscaped(STYLE)) }
            rect.ground width=(width) height=(height) {}
            text.title x=(MARGIN) y="32" { (title) }
            (markup)
            text x=(MARGIN) y=(height - MARGIN) { (foot) }
        }
    };
    svg.into_string() + "\n"
}
