//! Lenses that were spoiled, and whether anybody told why.
//!
//! A lens is spoiled when another one took its place, or when it went past its fit. Why, and who bears it, is told by the
//! remake that begins the next lens; where the bench has begun that one already, the same remake tells it afterwards. Of
//! two that tell of one lens the later counts. The bench tells why too, and leaves who bears it to the desk.

use super::uncaused::Uncaused;
use super::{Fact, Job, Line, WorkError};
use crate::desk::{Cause, Desk, Remake};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, LensId, LensState, NewLens};
use jiff::Timestamp;

/// A lens that was spoiled.
#[derive(Clone, Copy, Debug)]
pub struct Spoiled<'j> {
    /// Which.
    pub lens: LensId,
    /// Whether it went past its fit.
    pub loose: bool,
    /// When: its pass that went past the fit, else the beginning of the lens that took its place; where that is known.
    pub at: Option<Timestamp>,
    /// Why, and who bears it, if anybody told.
    pub told: Option<&'j Remake>,
    /// Why, as the bench told it.
    pub at_bench: Option<Cause>,
}

impl Spoiled<'_> {
    /// Why, by whomever: what was told at a desk counts.
    #[must_use]
    pub fn cause(&self) -> Option<Cause> {
        self.told.map(|remake| remake.cause).or(self.at_bench)
    }
}

impl Job {
    /// Every lens of this job that was spoiled, right ones first.
    pub fn spoiled(&self) -> impl Iterator<Item = Spoiled<'_>> {
        Eye::BOTH.into_iter().flat_map(move |eye| {
            let present = self.lens_number(eye);
            self.lenses[eye.index()]
                .iter()
                .filter(move |lens| lens.number < present || lens.sizing.is_scrap())
                .map(move |lens| self.spoiled_lens(eye, lens))
        })
    }

    fn spoiled_lens(&self, eye: Eye, state: &LensState) -> Spoiled<'_> {
        let lens = LensId { number: state.number, ..self.pair().lens(eye) };
        let loose = state.sizing.is_scrap();
        let past = loose.then(|| {
            let course = self.course(lens);
            let first = course.into_iter().find(|(_, state)| state.sizing.is_scrap()).map(|(id, _)| id);
            self.standing().find(|line| first == Some(line.id))
        });
        let line = past.flatten().or_else(|| self.standing().find(|line| begins_after(line, lens)));
        let at = line.and_then(|line| line.at);
        Spoiled { lens, loose, at, told: self.cause_of(lens), at_bench: self.cause_at_bench(lens) }
    }

    /// What the bench told of why `lens` was spoiled, and last where it told it more than once.
    fn cause_at_bench(&self, lens: LensId) -> Option<Cause> {
        self.standing().rev().find_map(|line| match line.fact {
            Fact::Bench(Bench::Spoiled(told)) if told.lens == lens => Some(told.cause),
            _ => None,
        })
    }

    /// What was told of why `lens` was spoiled, and last where it was told more than once.
    fn cause_of(&self, lens: LensId) -> Option<&Remake> {
        self.remakes().filter(|remake| follows(lens, remake.eye, remake.lens)).last()
    }

    /// The spoiled lenses of which no desk told why and who bears it, of the eyes that a lens is made for.
    pub fn uncaused(&self) -> impl Iterator<Item = Uncaused> {
        self.spoiled().filter_map(|spoiled| self.asks_of(&spoiled))
    }

    /// What is to be asked of a spoiled lens: nothing where a desk told it, or of an eye that no lens is made for any more.
    #[must_use]
    pub fn asks_of(&self, &Spoiled { lens, loose, told, at_bench, .. }: &Spoiled<'_>) -> Option<Uncaused> {
        let present = self.made(lens.eye).ok().filter(|_| told.is_none())?.number;
        Some(Uncaused {
            job: self.order.number,
            eye: lens.eye,
            lens: lens.number,
            replaced: lens.number < present,
            cause: at_bench,
            loose,
        })
    }

    /// Which lens of `eye` a remake tells of: the one that is `asked` for, if any. Else the present one if it went past its
    /// fit, or if nobody waits for the cause of an earlier one; an earlier one if the bench has put the present one in its
    /// place and logged nothing of that yet.
    ///
    /// # Errors
    /// No lens is made for that eye, it has no such lens, or it is not clear which one is meant.
    pub(super) fn spoiled_by_now(&self, eye: Eye, asked: Option<u8>) -> Result<u8, WorkError> {
        let (present, number) = (self.made(eye)?.number, self.order.number);
        if let Some(lens) = asked {
            let known = (1..=present).contains(&lens);
            return if known { Ok(lens) } else { Err(WorkError::NoLens { number, eye, lens, present }) };
        }
        let earlier: Vec<Uncaused> =
            self.uncaused().filter(|lens| lens.eye == eye && lens.replaced).collect();
        match earlier.last() {
            _ if self.state.lens(eye).sizing.is_scrap() => Ok(present),
            None => Ok(present),
            Some(last) if last.lens + 1 == present && self.is_untouched(eye) => Ok(last.lens),
            Some(_) => Err(WorkError::WhichLens { present, earlier }),
        }
    }

    /// Whether the present lens of `eye` was begun at the bench, and nothing was logged of it yet.
    fn is_untouched(&self, eye: Eye) -> bool {
        let lens = self.pair().lens(eye);
        let begun = |line: &Line| line.fact == Fact::Bench(Bench::NewLens(NewLens { lens }));
        self.state.lens(eye).is_untouched() && self.standing().any(begun)
    }
}

/// Whether the lens `number` of `eye` came next after `lens`.
fn follows(lens: LensId, eye: Eye, number: u8) -> bool {
    (eye, Some(number)) == (lens.eye, lens.number.checked_add(1))
}

/// Whether a record begins the lens that came next after `lens`.
fn begins_after(line: &Line, lens: LensId) -> bool {
    match &line.fact {
        Fact::Bench(Bench::NewLens(NewLens { lens: new })) => follows(lens, new.eye, new.number),
        Fact::Desk(Desk::Remake(remake)) => follows(lens, remake.eye, remake.lens),
        _ => false,
    }
}
