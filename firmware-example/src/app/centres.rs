//! The pair's centres, and its heights where they are ordered: at what is ordered, one press each.

use super::job::OpenJob;
use super::screens::{Pair, ToBe, Told, go, within};
use crate::keys::Key;
use crate::screen::{Answers, Body, Picture};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, Wanted};
use bevelbook_core::record::{Asked, CentreDistance, Entered, PairId, Possible};
use bevelbook_core::tolerance::Design;
use bevelbook_core::units::Length;

/// Steps in µm.
const STEPS: (i32, i32) = (500, 2000);

/// What is measured, in the order in which it is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Field {
    Total,
    Half(Eye),
    Height(Eye),
}

const FIELDS: [Field; 5] = [
    Field::Total,
    Field::Half(Eye::Right),
    Field::Half(Eye::Left),
    Field::Height(Eye::Right),
    Field::Height(Eye::Left),
];

/// Centres in the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct CentresEntry {
    field: Field,
    centres: PupillaryDistance,
    ordered: PupillaryDistance,
    heights: Option<[Length; 2]>,
    ordered_heights: Option<[Length; 2]>,
    design: Design,
    told: Told,
    entered: Entered,
}

impl CentresEntry {
    pub(super) const ANSWERS: Answers = Answers::new("+", "-", "--", "++", "set");

    /// A progressive is centred eye by eye, as is what is judged so, and one lens alone by its own half; any other pair by its
    /// total.
    pub(super) fn new(job: &OpenJob) -> Self {
        let (ordered, design, heights) = (job.pd(), job.design(), job.heights());
        let [right, left] = Eye::BOTH.map(|eye| ordered.of(eye));
        let centres = match job.wanted().map(Wanted::is_made) {
            [true, true] if design == Design::Progressive || job.is_judged_by_eye() => {
                PupillaryDistance::Monocular { right, left }
            }
            [true, true] => PupillaryDistance::Binocular(ordered.total()),
            [true, false] => PupillaryDistance::OneEye { eye: Eye::Right, distance: right },
            [false, _] => PupillaryDistance::OneEye { eye: Eye::Left, distance: left },
        };
        let told = if job.told { Told::Order } else { Told::Nobody };
        let ordered_heights = heights;
        let mut entry = Self {
            field: Field::Total,
            centres,
            ordered,
            heights,
            ordered_heights,
            design,
            told,
            entered: Entered::PRESET,
        };
        if !entry.asks(Field::Total) {
            entry.go(true);
        }
        entry
    }

    fn asks(&self, field: Field) -> bool {
        let of_both = matches!(self.centres, PupillaryDistance::Binocular(_));
        match field {
            Field::Total => of_both,
            Field::Half(eye) => self.centres.half(eye).is_some(),
            Field::Height(eye) => self.heights.is_some() && (of_both || self.asks(Field::Half(eye))),
        }
    }

    /// Takes a short press; the centres when it was the last one.
    pub(super) fn press(&mut self, key: Key, pair: PairId) -> Option<CentreDistance> {
        let step = match key {
            Key::Up => STEPS.0,
            Key::Down => -STEPS.0,
            Key::Right => STEPS.1,
            Key::Left => -STEPS.1,
            Key::Centre => return self.confirm(pair),
        };
        self.entered.moved(match self.field {
            Field::Total => Asked::Pd,
            Field::Half(eye) => Asked::Half(eye),
            Field::Height(eye) => Asked::Height(eye),
        });
        let before = self.centres;
        let bound = match self.field {
            Field::Height(_) => Possible::HEIGHT.range,
            Field::Total | Field::Half(_) => 0..=Length::LIMIT,
        };
        if let Some(length) = self.value() {
            *length = within(length.milli() + step, bound, *length);
        }
        if !self.centres.is_usual() {
            self.centres = before;
        }
        None
    }

    fn value(&mut self) -> Option<&mut Length> {
        match (self.field, &mut self.centres) {
            (Field::Total, PupillaryDistance::Binocular(total)) => Some(total),
            (Field::Half(Eye::Right), PupillaryDistance::Monocular { right, .. }) => Some(right),
            (Field::Half(Eye::Left), PupillaryDistance::Monocular { left, .. }) => Some(left),
            (Field::Half(_), PupillaryDistance::OneEye { distance, .. }) => Some(distance),
            (Field::Height(eye), _) => self.heights.as_mut().map(|heights| &mut heights[eye.index()]),
            _ => None,
        }
    }

    fn confirm(&mut self, pair: PairId) -> Option<CentreDistance> {
        if self.go(true) {
            return None;
        }
        let mut heights = self.heights;
        if let (PupillaryDistance::OneEye { eye, .. }, Some(both)) = (self.centres, &mut heights) {
            *both = [both[eye.index()]; 2];
        }
        Some(CentreDistance { entered: self.entered, pair, centres: self.centres, heights })
    }

    /// To the next figure, or to the one before. Whether there is one.
    #[inline(never)]
    pub(super) fn go(&mut self, on: bool) -> bool {
        let entry = *self;
        go(&mut self.field, on, &FIELDS, |field| entry.asks(field))
    }

    #[inline(never)] // Its stack is needed while it runs alone.
    pub(super) fn body(&self) -> Body {
        let height =
            |heights: Option<[Length; 2]>, eye: Eye| heights.map_or(Length::ZERO, |both| both[eye.index()]);
        let shown = |figure: Length, ordered: Length, what: &dyn core::fmt::Display| {
            Body::question(what, format_args!("{figure:.1}"), ToBe(self.told, &ordered), Picture::None)
        };
        match self.field {
            Field::Total => shown(self.centres.total(), self.ordered.total(), &"PD of the pair"),
            Field::Half(eye) => shown(self.centres.of(eye), self.ordered.of(eye), &Pair("PD,", eye)),
            Field::Height(eye) => {
                let what = match self.design {
                    Design::SingleVision => "height,",
                    Design::Multifocal => "segment height,",
                    Design::Progressive => "fitting height,",
                };
                shown(height(self.heights, eye), height(self.ordered_heights, eye), &Pair(what, eye))
            }
        }
    }
}
