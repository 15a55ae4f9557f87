//! How far a reading is off, as a bar against the ends of its limit.

use super::pen::c;
use super::words::typeset;
use crate::view::inspection::FindingView;
use maud::{Markup, html};

const WIDTH: f64 = 20.0;
const HEIGHT: f64 = 2.6;
/// From the middle to either end of the limit, and as far as a bar is drawn: what is farther off ends in an arrow.
const LIMIT: f64 = 6.0;
const MOST: f64 = 9.0;

/// The bar of what was judged; nothing where the limit is none at all.
pub(super) fn bar(finding: &FindingView) -> Markup {
    let [.., off, limit, _] = finding.figures;
    let (middle, share) = (WIDTH / 2.0, off.share_of(limit).unwrap_or_default());
    let way = (share * LIMIT).clamp(-MOST, MOST);
    let words = format!("{off:#} of ±{limit:#}: {}", finding.held());
    html! {
        svg.bar role="img" width=(format!("{WIDTH}mm")) height=(format!("{HEIGHT}mm"))
            viewBox=(format!("0 0 {WIDTH} {HEIGHT}")) {
            title { (typeset(&words)) }
            rect.allowed x=(c(middle - LIMIT)) y="0.7" width=(c(2.0 * LIMIT)) height="1.2" {}
            @for end in [-LIMIT, LIMIT] {
                line.end x1=(c(middle + end)) y1="0.1" x2=(c(middle + end)) y2="2.5" {}
            }
            line.zero x1=(c(middle)) y1="0.4" x2=(c(middle)) y2="2.2" {}
            rect.off data-part="off" x=(c(middle + way.min(0.0) - 0.2)) y="0.7" width=(c(way.abs() + 0.4)) height="1.2" {}
            @if (share * LIMIT).abs() > MOST {
                @let tip = middle + way + way.signum();
                polygon.off points=(format!("{},1.3 {},0 {},2.6", c(tip), c(middle + way), c(middle + way))) {}
            }
        }
    }
}
