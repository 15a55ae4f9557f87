//! Records, mistakes and refusals in lines of a small screen.

use super::job::OpenJob;
use super::screens::{Pair, Told};
use crate::screen::{Body, Line};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use bevelbook_core::record::{Bench, Cause, Check, CheckItem, Stage, Subject};
use bevelbook_core::sizing::{Basis, Dial, Outcome, Refusal};
use bevelbook_core::tolerance::{Slip, Thinning, ThinningKnown};
use bevelbook_core::units::Length;
use core::fmt;

/// What is looked for, in a line.
pub(super) const fn looked_for(item: CheckItem) -> &'static str {
    match item {
        CheckItem::Blocked => "block on dot and 180?",
        CheckItem::Slip => "axis still there?",
        CheckItem::Bevel => "pin bevel, both?",
        CheckItem::Firm => "firm in the rim?",
        CheckItem::Strain => "strain?",
        CheckItem::Surfaces => "no scratch, no chip?",
        CheckItem::Alignment => "frame true?",
        CheckItem::ImpactTested => "drop ball done?",
        CheckItem::ImpactSample => "drop ball: by batch?",
        CheckItem::ImpactExempt => "drop ball: exempt?",
        CheckItem::ImpactExcepted => "drop ball: waived?",
    }
}

/// What the hand felt, short.
const fn felt(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::FarTooBig => "much",
        Outcome::JustTooBig => "touch",
        Outcome::Fits => "fits",
        Outcome::Loose => "loose",
        Outcome::Abandoned => "stopped",
    }
}

/// A record in a line.
pub(super) fn fact(fact: &Bench) -> Line {
    let letter = |eye: Eye| eye.letter();
    match fact {
        Bench::Mark(mark) => Line::new(format_args!("{} mark at {}", letter(mark.lens.eye), mark.axis)),
        Bench::Pass(pass) => {
            let amount = pass.dialled.amount.fine();
            Line::new(format_args!("{} {amount:+} {}", letter(pass.lens.eye), felt(pass.outcome)))
        }
        Bench::Reading(reading) => {
            let stage = if reading.stage == Stage::Uncut { "uncut" } else { "mounted" };
            Line::new(format_args!("{} reading {stage}", letter(reading.lens.eye)))
        }
        Bench::CentreDistance(distance) => Line::new(format_args!("PD {}", distance.centres)),
        Bench::Girth(girth) => Line::new(format_args!("{} girth {}", letter(girth.lens.eye), girth.girth)),
        Bench::Check(Check { of, item: looked, good, .. }) => {
            let result = if *good { "good" } else { "bad" };
            match of {
                Subject::Lens(lens) => {
                    Line::new(format_args!("{} {} {result}", letter(lens.eye), looked.short()))
                }
                Subject::Pair(_) => Line::new(Pair(looked.short(), result)),
            }
        }
        Bench::NewLens(new) => {
            Line::new(format_args!("{} remake, lens {}", letter(new.lens.eye), new.lens.number))
        }
        Bench::Spoiled(spoiled) => Line::new(format_args!("{} {}", letter(spoiled.lens.eye), spoiled.cause)),
        Bench::Opened(_) => Line::new("walk-in opened"),
        Bench::Void(_) => Line::new("an undoing"),
        Bench::Station(_) => Line::new("station"),
        Bench::Clock(_) => Line::new("clock"),
    }
}

/// What is asked of a prism that stands there: whether it is as told, or what of it is thinning.
pub(super) fn as_told(told: Told, thinning: Thinning) -> Line {
    let Thinning { prism, known } = thinning;
    if !prism.is_zero() {
        return match known {
            ThinningKnown::Assumed => Line::new(format_args!("thinning assumed {prism}")),
            ThinningKnown::Ordered | ThinningKnown::Seen => {
                Line::new(format_args!("{prism} down is thinning"))
            }
        };
    }
    Line::new(match told {
        Told::Order => "as ordered?",
        Told::Supplier => "as supplier says?",
        nobody => nobody.unjudged(),
    })
}

/// A power in at most 18 letters.
struct Short(SphereCylinder);

impl fmt::Display for Short {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(power @ SphereCylinder { sphere, cylinder, axis }) = self;
        match (cylinder.is_zero(), sphere.is_zero()) {
            (true, _) => write!(f, "{power}"),
            (false, true) => write!(f, "pl {cylinder}x{axis}"),
            (false, false) => write!(f, "{sphere} {cylinder}x{axis}"),
        }
    }
}

/// What is to be made for each eye, in two lines each.
struct Ordered<'j>(&'j OpenJob);

impl fmt::Display for Ordered<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(job) = self;
        for eye in Eye::BOTH {
            let EyeOrder { power, prism, wanted, .. } = job.to_be(eye);
            let (letter, power) = (eye.letter(), Short(power));
            match wanted {
                Wanted::Lens => writeln!(f, "{letter} {power}")?,
                Wanted::Balance { .. } => writeln!(f, "{letter} balance")?,
                Wanted::Nothing { .. } => writeln!(f, "{letter} none")?,
            }
            match (wanted, job.card.prescribed[eye.index()]) {
                (Wanted::Lens, Some(prescribed)) => write!(f, " ({})", Short(prescribed))?,
                (Wanted::Lens, None) if !prism.is_none() => write!(f, " {prism}")?,
                (Wanted::Balance { known: true }, _) => write!(f, " {power}")?,
                (Wanted::Nothing { known: true }, _) => write!(f, "old {power}")?,
                _ => {}
            }
            f.write_str("\n")?;
        }
        Ok(())
    }
}

/// What is ordered; and beside a power to verify what it is verified for.
pub(super) fn ordered(job: &OpenJob) -> Body {
    let supplied = job.card.prescribed.iter().any(Option::is_some);
    Body::message(if supplied { "to verify (ordered)" } else { "ordered" }, Ordered(job))
}

/// The likely mistake behind a reading of this eye's lens.
pub(super) fn slip(slip: Slip, eye: Eye) -> Body {
    let said = match slip {
        Slip::OtherEye => "reads like the order\nof the OTHER eye",
        Slip::AxisMirrored => "axis looks mirrored:\n180 less axis fits",
        Slip::SignNotTransposed => "powers of the other\ncylinder form, not\ntransposed?",
        Slip::CylinderMissing => "cylinder is missing\nor not found yet",
        Slip::AxisQuarterTurn => "axis looks a quarter\nturn (90) off",
    };
    Body::message(format_args!("look again: {eye}"), said)
}

/// Why the guard refuses; sizes on the basis that is dialled.
pub(super) fn refusal(refusal: &Refusal) -> Body {
    let (title, insist) = ("already fits", "hold centre to insist");
    match refusal {
        Refusal::PastFit { fits, asked, least } => {
            let smaller = least.offset < asked.offset;
            let [fits, past, least] = [fits.on(asked.basis), asked.offset, least.offset].map(Length::fine);
            if smaller {
                let said = format_args!(
                    "lens FITS at {fits:+}\n{past:+} goes past it\nit may be {least:+} now\n{insist}"
                );
                return Body::message(title, said);
            }
            Body::message(title, format_args!("lens FITS at {fits:+}\n{past:+} goes past it\n{insist}"))
        }
        Refusal::PastEarlierFit { fits, asked } => {
            let [fits, past] = [fits.on(asked.basis), asked.offset].map(Length::fine);
            Body::message(title, format_args!("last lens FIT {fits:+}\n{past:+} goes past it\n{insist}"))
        }
        Refusal::EarlierLoose { loose, asked } => {
            let loose = loose.on(asked.basis).fine();
            Body::message(title, format_args!("last lens was LOOSE\nat {loose:+}\n{insist}"))
        }
        Refusal::AlreadyLoose(loose) => {
            let loose = loose.offset.fine();
            Body::message(title, format_args!("was LOOSE at {loose:+}\nremake the lens\n{insist}"))
        }
    }
}

/// A size reads otherwise from here on.
pub(super) fn other_dial(dial: &Dial) -> Body {
    let basis = match dial.basis {
        Basis::Radius => "RADIUS",
        Basis::Diameter => "DIAMETER",
        Basis::Girth => "GIRTH",
    };
    let counts = if dial.takes_off() { "an amount to take off" } else { "size + to the trace" };
    Body::message("size now reads as", format_args!("{basis},\n{counts}\ncentre: go on"))
}

/// How keys are used.
pub(super) fn keys() -> Body {
    Body::message("keys", "press: what stands\nbeside the key.\nhold it: what stands\nin a box behind that")
}

/// A page of the memory does not answer.
pub(super) fn silence(unsettled: bool) -> Body {
    let (title, said) = match unsettled {
        true => ("saved or not?", "memory does not say.\nwait: it will tell.\ndo not log it twice"),
        false => ("memory: no answer", "one page is silent.\nno size, no logging\nuntil it answers."),
    };
    Body::message(title, said)
}

/// The place of the usual cause of a loose lens.
pub(super) const WHY_UNDERSIZE: usize = 1 + Cause::Undersize as usize;

/// The cause at that place.
pub(super) fn cause(at: usize) -> Option<Cause> {
    Cause::ALL.get(at.checked_sub(1)?).copied()
}

/// The answer at that place to why a lens is made again: first, that it is not.
pub(super) fn why(at: usize) -> Option<&'static str> {
    if at == 0 { Some("no, go back") } else { cause(at).map(Cause::words) }
}
