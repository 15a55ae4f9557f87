//! Reading a lens by nulling, as the drum is used: each field stands at what is to be read; "sharp here" confirms it, the
//! arrows nudge it by the instrument's step first. Of a prism both parts stand there together, in words and drawn: a base
//! that is taken for its opposite is the dearest mistake there is.

use super::job::OpenJob;
use super::screens::{Pair, ToBe, Told, go, within};
use super::words;
use crate::keys::Key;
use crate::screen::{Answers, Body, Lens, Line, Part, Picture};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::record::{Asked, Entered, Flow, LensId, Possible, Read, Reading, Stage};
use bevelbook_core::tolerance::{Design, Thinning};
use bevelbook_core::units::{Axis, Power, Prism, PrismPair};

/// The instrument's step of power and its coarse one, in 1/1000 D (common practice, no source).
const POWER_STEPS: (i32, i32) = (125, 1000);
/// The same of an instrument that shows hundredths (common practice, no source).
const FINE_POWER_STEPS: (i32, i32) = (10, 100);
/// Steps of the axis wheel, in 1/1000 degree.
const AXIS_STEPS: (i32, i32) = (1000, 10_000);
/// Steps of prism, in 1/1000 Δ.
const PRISM_STEPS: (i32, i32) = (250, 1000);

/// The fields of a reading, in the order in which they are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Field {
    First,
    Second,
    Wheel,
    Centred,
    PrismIn,
    PrismUp,
    Add,
}

const FIELDS: [Field; 7] =
    [Field::First, Field::Second, Field::Wheel, Field::Centred, Field::PrismIn, Field::PrismUp, Field::Add];

/// Where prism is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    /// A progressive's reference point.
    Reference,
    /// The dot of a lens that is not cut yet.
    Dot,
    /// The ordered PD, in the frame.
    Pd,
}

impl Place {
    const fn words(self) -> &'static str {
        match self {
            Self::Reference => "ref. point",
            Self::Dot => "the dot",
            Self::Pd => "the PD",
        }
    }

    /// Whether a lens without prism is in the middle there.
    const fn centred(self) -> &'static str {
        match self {
            Self::Reference => "ref. point centred?",
            Self::Dot => "centred in focimeter?",
            Self::Pd => "centred at the PD?",
        }
    }
}

/// A reading in the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ReadingEntry {
    pub(super) eye: Eye,
    stage: Stage,
    field: Field,
    first: Power,
    second: Power,
    wheel: Axis,
    /// What is to be read, thinning included.
    to_be: EyeOrder,
    told: Told,
    /// What of the prism is thinning.
    thinning: Thinning,
    place: Place,
    prism: PrismPair,
    /// Whether the prism is not as it is to be, and asked for.
    off: bool,
    add: Option<Power>,
    /// Whether the second line was looked at.
    second_seen: bool,
    hundredths: bool,
    entered: Entered,
}

impl ReadingEntry {
    pub(super) fn new(job: &OpenJob, eye: Eye, stage: Stage, flow: Flow) -> Self {
        let to_be = job.to_be(eye);
        let power = to_be.power.minus_cylinder();
        let place = match (job.design(), stage) {
            (Design::Progressive, _) => Place::Reference,
            (_, Stage::Uncut) => Place::Dot,
            (_, Stage::Mounted) => Place::Pd,
        };
        Self {
            eye,
            stage,
            field: Field::First,
            first: power.sphere,
            second: power.combined_power(),
            wheel: power.axis,
            to_be,
            told: job.told_of(eye),
            thinning: job.thinning(eye),
            place,
            prism: to_be.prism,
            off: false,
            add: to_be.add,
            second_seen: false,
            hundredths: flow.hundredths,
            entered: Entered::PRESET,
        }
    }

    /// Takes a short press; a reading when it was the last one.
    pub(super) fn press(&mut self, key: Key, lens: LensId) -> Option<Reading> {
        match key {
            Key::Centre => return self.confirm(lens),
            Key::Right if self.field == Field::Centred => {
                self.off = true;
                self.entered.moved(Asked::Prism);
                self.field = Field::PrismIn;
            }
            Key::Up => self.nudge(1, false),
            Key::Down => self.nudge(-1, false),
            Key::Right => self.nudge(1, true),
            Key::Left => self.nudge(-1, true),
        }
        None
    }

    fn nudge(&mut self, way: i32, coarse: bool) {
        let step = |(fine, big): (i32, i32)| way * if coarse { big } else { fine };
        let powers = if self.hundredths { FINE_POWER_STEPS } else { POWER_STEPS };
        let power = |power: &mut Power, Possible { range, .. }| {
            *power = within(power.milli() + step(powers), range, *power);
        };
        let prism = |prism: &mut Prism| {
            *prism = within(prism.milli() + step(PRISM_STEPS), Possible::PRISM.range, *prism);
        };
        self.entered.moved(match self.field {
            Field::Centred => return,
            Field::First => Asked::Sphere,
            Field::Second => Asked::Cylinder,
            Field::Wheel => Asked::Axis,
            Field::PrismIn | Field::PrismUp => Asked::Prism,
            Field::Add => Asked::Add,
        });
        match self.field {
            Field::First => {
                // The second line moves along while nobody has looked at it.
                let apart = self.second - self.first;
                power(&mut self.first, Possible::POWER);
                if !self.second_seen {
                    self.second = within((self.first + apart).milli(), Possible::POWER.range, self.second);
                }
            }
            Field::Second => power(&mut self.second, Possible::POWER),
            Field::Wheel => self.wheel = Axis::from_milli(self.wheel.milli() + step(AXIS_STEPS)),
            Field::Centred => {}
            Field::PrismIn => prism(&mut self.prism.base_in),
            Field::PrismUp => prism(&mut self.prism.base_up),
            Field::Add => {
                if let Some(add) = &mut self.add {
                    power(add, Possible::ADDITION);
                }
            }
        }
    }

    fn confirm(&mut self, lens: LensId) -> Option<Reading> {
        if self.field == Field::Centred {
            (self.off, self.prism) = (false, self.to_be.prism);
        }
        if self.go(true) {
            return None;
        }
        let read = Read::Lines { first: self.first, second: self.second, wheel: self.wheel };
        Some(Reading {
            entered: self.entered,
            lens,
            stage: self.stage,
            read,
            prism: Some(self.prism),
            add: self.add,
        })
    }

    /// To the next figure, or to the one before. Whether there is one.
    pub(super) fn go(&mut self, on: bool) -> bool {
        let gone = go(&mut self.field, on, &FIELDS, |field| match field {
            // A sphere has no axis to read.
            Field::Wheel => self.first != self.second,
            Field::PrismIn | Field::PrismUp => self.off,
            Field::Add => self.add.is_some(),
            Field::First | Field::Second | Field::Centred => true,
        });
        self.second_seen |= self.field == Field::Second;
        gone
    }

    #[inline(never)] // Its stack is needed while it runs alone.
    pub(super) fn body(&self) -> Body {
        let to_be = self.to_be.power.minus_cylinder();
        let stage = match self.stage {
            Stage::Uncut => "uncut",
            Stage::Mounted => "mounted",
        };
        let power = |what, power: Power, to_be: Power| {
            Body::question(Pair(stage, what), power, ToBe(self.told, &to_be), Picture::None)
        };
        match self.field {
            Field::First => power("sphere line", self.first, to_be.sphere),
            Field::Second => power("cylinder line", self.second, to_be.combined_power()),
            Field::Wheel => {
                let dial = Picture::Axis((self.wheel.milli() / 1000) as u16);
                Body::question(Pair(stage, "axis"), self.wheel, ToBe(self.told, &to_be.axis), dial)
            }
            Field::Centred if self.to_be.prism.is_none() => {
                Body::question(self.place.centred(), 0, "no prism there", Picture::None)
            }
            Field::Centred => {
                let lens = self.lens(self.to_be.prism);
                Body::prism(
                    Pair("prism at", self.place.words()),
                    lens,
                    words::as_told(self.told, self.thinning),
                )
            }
            Field::PrismIn => self.part(Pair(stage, "prism in/out"), Part::Across),
            Field::PrismUp => self.part(Pair(stage, "prism up/down"), Part::Upright),
            Field::Add => power("addition", self.add.unwrap_or_default(), self.to_be.add.unwrap_or_default()),
        }
    }

    /// Both parts of the prism, of which one is being read.
    fn part(&self, asked: Pair<&str, &str>, part: Part) -> Body {
        let (question, lens) = (Line::new(asked), self.lens(self.prism));
        Body::Prism { question, lens, changed: Some(part), detail: Line::default() }
    }

    const fn lens(&self, prism: PrismPair) -> Lens {
        Lens { eye: self.eye, prism, axis: None }
    }

    pub(super) const fn answers(&self) -> Answers {
        match self.field {
            Field::Centred => Answers::new("", "", "", "no", "yes"),
            Field::First | Field::Second => Answers::new("+", "-", "--", "++", "sharp"),
            _ => Answers::new("+", "-", "--", "++", "set"),
        }
    }
}
