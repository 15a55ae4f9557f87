//! The page that goes with the glasses: what they are, how they were checked, what to expect, and care, in plain words for
//! who wears them.
//!
//! Nothing that was found is left out or softened: a pair that is out says so, with what is out and why it was handed over.
//! Care, habit and cautions are common practice, no source; whatever is a matter of the eye is the prescriber's.

use super::document::{Content, document, entry};
use super::words::{own, time, typeset};
use crate::desk::{Condition, Order, Viewing};
use crate::inspection::{Kind, Remark};
use crate::view::inspection::{BesideView, FindingView, InspectionView};
use crate::view::ordered_words;
use crate::view::plan::PlanView;
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::tolerance::{Design, Verdict};
use jiff::ZonedDateTime;
use maud::{Markup, html};

pub(super) fn page(&Content { job, plan, inspection, name, now }: &Content<'_>) -> Markup {
    let order = &job.order;
    let body = html! {
        header {
            h1 { "Your glasses" }
            dl {
                (entry("order", &order.number.to_string()))
                (entry("reference", &order.customer))
                @if let Some(name) = name { (entry("name", name)) }
                (entry("date", &now.strftime("%Y-%m-%d").to_string()))
            }
        }
        main {
            (made(order, &plan.plan.material.name))
            (found(inspection, now))
            (list("The first days", &first_days(order)))
            (list("Care", CARE))
            (list("Please mind", &cautions(order)))
            (safety(plan))
        }
        footer {
            p { "Questions? Bring the glasses and this page. Shop: " span.blank-line {} " Telephone: " span.blank-line {} }
            p {
                "Only your prescriber may change your prescription. Local law says who may check and hand over glasses. This \
                page says what the shop found; it is no certificate and no warranty."
            }
        }
    };
    document("wearer", &format!("Your glasses, order {}", order.number), &body)
}

fn list(heading: &str, items: &[&str]) -> Markup {
    html! { section { h2 { (heading) } ul { @for item in items { li { (item) } } } } }
}

fn made(order: &Order, material: &str) -> Markup {
    let frame = match order.frame.condition {
        Condition::New => "",
        Condition::Own => ", your own",
        Condition::Worn => ", your own; it was worn already and may crack or bend sooner than a new one",
    };
    html! {
        section {
            h2 { "What was made" }
            p { (purpose(order)) }
            table {
                caption {
                    "As on your prescription: sphere, cylinder × axis. An add is what the part for near has on top; prism \
                    shifts what you see to make the eyes work together."
                }
                tbody {
                    @for eye in Eye::BOTH {
                        tr { th scope="row" { (eye) " eye" } td { (typeset(&ordered_words(order.eye(eye)))) } }
                    }
                    tr {
                        th scope="row" { "lenses" }
                        td { (own(material)) @for treatment in &order.lens.treatments { ", " (own(treatment)) } }
                    }
                    tr { th scope="row" { "frame" } td { (own(&order.frame.model)) " " (order.frame.label()) (frame) } }
                }
            }
            @for eye in Eye::BOTH { @if let Some(words) = unlike(order, eye) { p { (words) } } }
        }
    }
}

/// What the glasses are for.
fn purpose(order: &Order) -> &'static str {
    match (order.lens.design, order.lens.viewing) {
        (Design::SingleVision, Viewing::Distance) => {
            "Single vision glasses: one power all over the lens, for seeing far or as your prescription says."
        }
        (_, Viewing::Near) => {
            "Glasses for near: for reading and close work. Farther away they blur. Do not walk about or drive with them."
        }
        (Design::Multifocal, _) => {
            "Glasses with two parts: through the large part you see far, through the part below, whose edge you can see, \
            you read."
        }
        (Design::Progressive, _) => {
            "Progressive glasses: look through the top for far, through the lowest part to read, and in between for all that \
            lies between, such as a screen."
        }
    }
}

/// What is to be said of a lens that is none for seeing with.
fn unlike(order: &Order, eye: Eye) -> Option<String> {
    match order.eye(eye).wanted {
        Wanted::Lens => None,
        Wanted::Balance { .. } => Some(format!(
            "The lens before your {eye} eye is a balance lens: made to look and weigh like the other, not for seeing with."
        )),
        Wanted::Nothing { known: true } => {
            Some(format!("No lens was made for your {eye} eye: the old one stayed in the frame."))
        }
        Wanted::Nothing { .. } => Some(format!("No lens was made for your {eye} eye.")),
    }
}

/// What was found of the finished pair, whatever it is.
fn found(view: &InspectionView, now: &ZonedDateTime) -> Markup {
    let out: Vec<_> = view.findings.iter().filter(|finding| !finding.within).collect();
    let unusual = view.unjudged.iter().filter(|beside| beside.unusual).map(BesideView::whose);
    let unusual = unusual.collect::<Vec<_>>().join(", ");
    let (untested, open): (Vec<_>, Vec<_>) = view.open.iter().partition(|open| open.kind == Kind::Impact);
    html! {
        section.found {
            h2 { "How they were checked" }
            @match view.verdict {
                Verdict::Within => p {
                    "The finished glasses were measured and compared with the prescription. What could be judged is within \
                    the tolerances of " (view.standard) "."
                },
                Verdict::Out => p.loud { "These glasses are OUT of tolerance, by " (view.standard) "." },
                Verdict::NotJudged => p.loud {
                    "These glasses are NOT FULLY CHECKED: something that is needed was not measured."
                },
            }
            @if !out.is_empty() { ul { @for finding in &out { li { (off(finding)) } } } }
            @if !unusual.is_empty() {
                p { "Farther off than is usual, though no limit is at hand: " b { (unusual) } "." }
            }
            (told("Not measured", view.missing.iter()))
            (told("Worth a second look", view.warnings.iter()))
            (told("Not done, or found bad", open.into_iter()))
            @if !untested.is_empty() {
                p {
                    "It is not on record that the lenses were tested against a blow (a drop-ball test), or that their maker \
                    vouches for them. Local law says whether that is needed: ask the shop."
                }
            }
            @if !view.looked_at.is_empty() {
                p { "Figures may have been confirmed as they were expected instead of read: ask the shop whether it looked." }
            }
            @match &view.signed {
                Some(signed) => p {
                    "Signed by " (own(&signed.by)) ", " (time(signed.at, now.time_zone()))
                    @if let Some(why) = &signed.despite { ". Handed over all the same: " (own(why)) }
                    "."
                },
                None => p.loud { "Nobody has signed for these glasses yet." },
            }
            @if view.verdict != Verdict::Within || !unusual.is_empty() {
                p { "If in doubt, ask the shop or your prescriber whether to wear them as they are." }
            }
        }
    }
}

fn off(finding: &FindingView) -> Markup {
    let [ordered, read, _, limit, _] = finding.figures;
    let whose = if finding.subject == "pair" { "the pair" } else { &format!("{} lens", finding.subject) };
    let [ordered, read] = [ordered, read].map(|figure| typeset(&format!("{figure:#}")));
    html! {
        (whose) ", " (finding.name) ": ordered " (ordered) ", found " (read) ", allowed ±" (format!("{limit:#}")) ": "
        b { (finding.held()) }
    }
}

fn told<'r>(name: &str, remarks: impl Iterator<Item = &'r Remark>) -> Markup {
    let mut remarks = remarks.enumerate().peekable();
    html! {
        @if remarks.peek().is_some() {
            p { b { (name) ": " } @for (at, remark) in remarks { @if at > 0 { "; " } (own(&remark.text)) } "." }
        }
    }
}

fn first_days(order: &Order) -> Vec<&'static str> {
    let near = order.lens.viewing == Viewing::Near;
    let of_design = match order.lens.design {
        _ if near => "Hold what you read where it is sharpest, and take them off to look up and to walk.",
        Design::SingleVision => {
            "Floors and edges may seem nearer, farther or slanted at first. That mostly passes."
        }
        Design::Multifocal => {
            "At the edge of the lower part things jump. On stairs bow your head and look through the upper part."
        }
        Design::Progressive => {
            "Point your nose at what you want to see; move your eyes down to read. The sides blur, which is how such lenses \
            are. On stairs bow your head and look through the upper part."
        }
    };
    let weeks = match order.lens.design {
        Design::Progressive => {
            "Wear them all day, and no others between. Getting used to them can take two weeks."
        }
        _ if near => "Use them in good light. A few days are usual to get used to them.",
        _ => "Wear them as they were prescribed. A few days are usual to get used to them.",
    };
    vec![
        weeks,
        of_design,
        "Come back if they slip, press or sit askew: where they sit decides how well you see.",
        "Come back if you get dizzy, see double, have headaches, or see worse than before, and it does not get better. If the \
        glasses are right, ask your prescriber.",
        "Sight that is suddenly worse, pain or flashes do not come from glasses: see a doctor at once.",
    ]
}

const CARE: &[&str] = &[
    "Rinse them with lukewarm water before wiping, so that dust does not scratch. A drop of mild soap takes off grease.",
    "Dry and wipe with a clean soft cloth: no paper, no shirt, no window cleaner, no spirit.",
    "Put them on and off with both hands, lay them down lenses up, and keep them in their case.",
    "Keep them out of heat: a car in the sun, a sauna, an oven door, a hair dryer harm lenses and coatings.",
];

fn cautions(order: &Order) -> Vec<&'static str> {
    let driving = match order.lens.viewing {
        Viewing::Near => "Do not drive with them.",
        Viewing::Distance => {
            "Do not drive until you see clearly and judge distances safely with them. Tinted lenses are not for driving at \
            dusk or night."
        }
    };
    let mut cautions = vec![
        driving,
        "No lens is unbreakable. Have one that is scratched, chipped or cracked replaced.",
        "Never look into the sun.",
    ];
    if order.lens.safety.is_none() {
        cautions.insert(
            1,
            "They are not safety glasses and not sports glasses: wear protection that is made for it where something can fly, \
            splash or strike.",
        );
    }
    cautions
}

/// What was asked of them as protection, if anything was.
fn safety(plan: &PlanView) -> Markup {
    html! {
        @if let Some((name, rule)) = &plan.plan.safety {
            p {
                "Their lenses were ordered to " b { (own(name)) } " (" (own(&rule.source)) "), which says how thick they have \
                to be. They protect only in a frame that is made and marked for it, and only from what it is marked for."
            }
        }
    }
}
