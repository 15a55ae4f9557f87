//! Sizing: the advised size stands there, and the four arrows are what the hand felt.

use super::job::OpenJob;
use super::screens::Pair;
use crate::keys::Key;
use crate::screen::{Answers, Body, Line, Picture};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Pass, Possible};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Evidence, Habit, Outcome, Refusal, Size};
use bevelbook_core::units::Length;
use core::fmt;

/// How many steps of the dial a coarse nudge takes.
const COARSE: i32 = 5;

/// A pass in the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct SizingEntry {
    pub(super) eye: Eye,
    pub(super) dial: Dial,
    /// The size to be left, as an offset from the traced shape on the dial's basis.
    size: Length,
    /// The one that is advised; none for a lens that fits or is scrap.
    advised: Option<Length>,
    /// While the size is being changed: what it was before.
    before: Option<Length>,
    /// Whether the guard was insisted past for this size.
    insisted: bool,
}

/// What a press led to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sized {
    /// Nothing to record yet.
    Going,
    /// A pass to record.
    Pass(Pass),
    /// The guard refuses the size that was chosen.
    Refused(Refusal),
}

impl SizingEntry {
    pub(super) fn new(job: &OpenJob, eye: Eye, dial: Dial, habit: &Habit) -> Self {
        let known = job.known(eye);
        let size = habit.advised(job.rim(), &dial, &known);
        let mut entry = Self { eye, dial, size, advised: None, before: None, insisted: false };
        // An advice that goes on for long leaves what a dial can say.
        let amount = entry.dialled(size, job).amount.milli();
        let possible = Possible::dialled(dial.counting).range;
        let over = amount - amount.clamp(*possible.start(), *possible.end());
        let over = if dial.takes_off() { -over } else { over };
        entry.size = Length::try_from(size.milli() - over).unwrap_or(size);
        entry.advised = known.sizing.goes_on().then_some(entry.size);
        entry
    }

    pub(super) fn press(&mut self, key: Key, job: &OpenJob) -> Sized {
        if self.is_changing() {
            return self.change(key, job);
        }
        let outcome = match key {
            Key::Up => Outcome::FarTooBig,
            Key::Right => Outcome::JustTooBig,
            Key::Down => Outcome::Fits,
            Key::Left => Outcome::Loose,
            Key::Centre => {
                self.before = Some(self.size);
                return Sized::Going;
            }
        };
        self.pass(outcome, job)
    }

    /// The pass at the size that stands there.
    pub(super) fn pass(&self, outcome: Outcome, job: &OpenJob) -> Sized {
        let (lens, dialled) = (job.state().pair.lens(self.eye), self.dialled(self.size, job));
        let advised = self.advised.map(|size| self.dialled(size, job).amount);
        match self.refusal(job) {
            Some(refusal) if !self.insisted => Sized::Refused(refusal),
            refusal => Sized::Pass(Pass { advised, lens, dialled, outcome, past: refusal.is_some() }),
        }
    }

    fn refusal(&self, job: &OpenJob) -> Option<Refusal> {
        let known = job.known(self.eye);
        known.shown.guard(known.sizing, &self.dialled(self.size, job)).err()
    }

    fn change(&mut self, key: Key, job: &OpenJob) -> Sized {
        let steps = match key {
            Key::Up => 1,
            Key::Down => -1,
            Key::Right => COARSE,
            Key::Left => -COARSE,
            Key::Centre => {
                if let Some(refusal) = self.refusal(job).filter(|_| !self.insisted) {
                    return Sized::Refused(refusal);
                }
                self.before = None;
                return Sized::Going;
            }
        };
        let (before, most) = (self.size, self.most(job));
        let size = before.milli() + steps * self.dial.step.milli();
        self.insisted = false;
        self.size = Length::try_from(size).unwrap_or(before).min(most);
        if !Possible::dialled(self.dial.counting).holds(self.dialled(self.size, job).amount.milli()) {
            self.size = before;
        }
        Sized::Going
    }

    /// Whether the size is being changed by hand.
    pub(super) const fn is_changing(&self) -> bool {
        self.before.is_some()
    }

    /// Whether the guard was insisted past for the size that stands there.
    #[cfg(test)]
    pub(super) const fn is_past(&self) -> bool {
        self.insisted
    }

    /// Gives up changing the size. Whether it was being changed.
    pub(super) fn back(&mut self) -> bool {
        let before = self.before.take();
        self.size = before.unwrap_or(self.size);
        before.is_some()
    }

    /// The guard was insisted past with a long press.
    pub(super) fn insist(&mut self) {
        self.insisted = true;
        self.before = None;
    }

    /// No larger size can be dialled: an amount to take off is not negative.
    fn most(&self, job: &OpenJob) -> Length {
        match self.dial.counting {
            Counting::Absolute => Length::from_milli(Length::LIMIT),
            Counting::TakeOff { from } => present(job, self.eye, &self.dial).unwrap_or(from),
        }
    }

    fn dialled(&self, size: Length, job: &OpenJob) -> Dialled {
        self.dial.leaving(size, present(job, self.eye, &self.dial))
    }

    #[inline(never)] // Its stack is needed while it runs alone.
    pub(super) fn body(&self, job: &OpenJob) -> Body {
        let known = job.known(self.eye);
        let Evidence { sizing, shown, other_fits, over_rim, .. } = known;
        let on = |size: Option<Size>| size.map(|size| size.on(self.dial.basis));
        let (too_big, fits) = (on(sizing.too_big), on(sizing.fits));
        let told = known.told();
        let refused = self.advised.filter(|advised| told.is_some() && *advised != self.size);
        let bracket = match (refused, told, sizing.passes) {
            (Some(advised), ..) => Bracket::Advised(self.dialled(advised, job)),
            (_, Some(book), 0) if shown.too_big.is_none() => match on(other_fits) {
                Some(fits) => Bracket::Other(self.eye.other(), fits),
                None => Bracket::Book(book.lenses, book.fitted_on(self.dial.basis)),
            },
            (_, _, 0) => Bracket::Before(on(shown.fits), on(shown.too_big)),
            _ => over_rim.filter(|_| fits.is_none()).map_or(Bracket::Own(fits, too_big), |over| {
                Bracket::Girth(Size { basis: Basis::Girth, offset: over }.on(self.dial.basis))
            }),
        };
        let picture = Picture::Gauge { now: self.size, too_big, fits };
        let question = match (self.is_changing(), job.rim().closes_round_lens()) {
            (true, _) => Line::new(Pair("size on", self.dial.basis)),
            (false, true) => Line::new(Pair("rim size, on", self.dial.basis)),
            (false, false) => Line::new(Pair("shape, on", self.dial.basis)),
        };
        Body::question(question, OnDial(self.dialled(self.size, job)), bracket, picture)
    }

    pub(super) const fn answers(&self) -> Answers {
        if self.is_changing() {
            Answers::new("+", "-", "--", "++", "set")
        } else {
            Answers::new("much", "fits", "loose", "touch", "size")
        }
    }
}

/// What is dialled, in a figure.
struct OnDial(Dialled);

impl fmt::Display for OnDial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let amount = self.0.amount.fine();
        match self.0.counting {
            Counting::Absolute => write!(f, "{amount:+}"),
            Counting::TakeOff { .. } => write!(f, "{amount}off"),
        }
    }
}

/// What this rim has shown, by where it fits and where it is too big, and why the book advises what it does, on the dial's
/// basis.
enum Bracket {
    /// The figure that is advised, while another one stands there.
    Advised(Dialled),
    /// How many lenses of the frame fitted, and between which sizes.
    Book(u8, Option<[Length; 2]>),
    /// Where the lens of the other eye fitted.
    Other(Eye, Length),
    /// Of this lens.
    Own(Option<Length>, Option<Length>),
    /// Of the lens before, while this one is not cut.
    Before(Option<Length>, Option<Length>),
    /// By measured girths: how much too big it is.
    Girth(Length),
}

impl fmt::Display for Bracket {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Advised(dialled) => write!(f, "advised {}", OnDial(dialled)),
            Self::Book(_, None) => f.write_str("first of this frame"),
            Self::Book(lenses, Some([least, most])) if least == most => {
                write!(f, "{lenses} fitted at {least:+.2}")
            }
            // A line has no room for a number of three digits beside them.
            Self::Book(100.., Some([least, most])) => write!(f, "fitted {least:+.2} to {most:+.2}"),
            Self::Book(lenses, Some([least, most])) => write!(f, "{lenses} fit {least:+.2} to {most:+.2}"),
            Self::Other(eye, fits) => write!(f, "{eye} fitted {:+}", fits.fine()),
            Self::Own(None, None) | Self::Before(None, None) => f.write_str("first cut"),
            Self::Own(None, Some(big)) => write!(f, "big at {:+}", big.fine()),
            Self::Own(Some(fits), None) => write!(f, "fits at {:+}", fits.fine()),
            // Short, so that the gauge beside it keeps its height; its words say which end is which.
            Self::Own(Some(fits), Some(big)) => write!(f, "{:+} to {:+}", fits.fine(), big.fine()),
            Self::Before(Some(fits), _) => write!(f, "last fit {:+}", fits.fine()),
            Self::Before(None, Some(big)) => write!(f, "last big {:+}", big.fine()),
            Self::Girth(over) => write!(f, "girth {:+}", over.fine()),
        }
    }
}

/// The upper end of what the lens measures now, on the dial's basis.
fn present(job: &OpenJob, eye: Eye, dial: &Dial) -> Option<Length> {
    job.state().lens(eye).sizing.at_most(dial.basis)
}
