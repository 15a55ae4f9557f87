//! Reading a lens by nulling, as the drum is used: each field stands at what is ordered; "sharp here" confirms it, the
//! arrows nudge it by the instrument's step first.

use super::job::OpenJob;
use super::screens::{Ordered, Pair, go, within};
use crate::keys::Key;
use crate::screen::{Answers, Body, Picture};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::record::{LensId, Read, Reading, Stage};
use bevelbook_core::units::{Axis, Power, Prism, PrismPair};
use core::fmt;

/// The instrument's step of power and its coarse one, in 1/1000 D (common practice, no source).
const POWER_STEPS: (i32, i32) = (125, 1000);
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

/// A reading in the making.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ReadingEntry {
    pub(super) eye: Eye,
    stage: Stage,
    field: Field,
    first: Power,
    second: Power,
    wheel: Axis,
    ordered: EyeOrder,
    /// Whether that was ordered.
    told: bool,
    prism: PrismPair,
    /// Whether the prism is not as ordered, and asked for.
    off: bool,
    add: Option<Power>,
    /// Whether the second line was looked at.
    second_seen: bool,
}

impl ReadingEntry {
    pub(super) fn new(job: &OpenJob, eye: Eye, stage: Stage) -> Self {
        let ordered = job.ordered(eye);
        let power = ordered.power.minus_cylinder();
        Self {
            eye,
            stage,
            field: Field::First,
            first: power.sphere,
            second: power.combined_power(),
            wheel: power.axis,
            ordered: *ordered,
            told: job.told,
            prism: ordered.prism,
            off: false,
            add: ordered.add,
            second_seen: false,
        }
    }

    /// Takes a short press; a reading when it was the last one.
    pub(super) fn press(&mut self, key: Key, lens: LensId) -> Option<Reading> {
        match key {
            Key::Centre => return self.confirm(lens),
            Key::Right if self.field == Field::Centred => {
                self.off = true;
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
        let power = |power: &mut Power| *power = within(power.milli() + step(POWER_STEPS), *power);
        let prism = |prism: &mut Prism| *prism = within(prism.milli() + step(PRISM_STEPS), *prism);
        match self.field {
            Field::First => {
                // The second line moves along while nobody has looked at it.
                let apart = self.second - self.first;
                power(&mut self.first);
                if !self.second_seen {
                    self.second = within((self.first + apart).milli(), self.second);
                }
            }
            Field::Second => power(&mut self.second),
            Field::Wheel => self.wheel = Axis::from_milli(self.wheel.milli() + step(AXIS_STEPS)),
            Field::Centred => {}
            Field::PrismIn => prism(&mut self.prism.base_in),
            Field::PrismUp => prism(&mut self.prism.base_up),
            Field::Add => {
                if let Some(add) = &mut self.add {
                    power(add);
                }
            }
        }
    }

    fn confirm(&mut self, lens: LensId) -> Option<Reading> {
        if self.field == Field::Centred {
            (self.off, self.prism) = (false, self.ordered.prism);
        }
        if self.go(true) {
            return None;
        }
        let read = Read::Lines { first: self.first, second: self.second, wheel: self.wheel };
        Some(Reading { lens, stage: self.stage, read, prism: Some(self.prism), add: self.add })
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

    pub(super) fn body(&self) -> Body {
        let ordered = self.ordered.power.minus_cylinder();
        let (stage, dot) = match self.stage {
            Stage::Uncut => ("uncut", "dot"),
            Stage::Mounted => ("mounted", "PD mark"),
        };
        let of = |what: &'static str| Pair(stage, what);
        let plain = Picture::None;
        match self.field {
            Field::First => Body::question(of("first line"), self.first, self.if_told(ordered.sphere), plain),
            Field::Second => {
                Body::question(of("second line"), self.second, self.if_told(ordered.combined_power()), plain)
            }
            Field::Wheel => {
                let dial = Picture::Axis((self.wheel.milli() / 1000) as u16);
                Body::question(of("axis wheel"), self.wheel, self.if_told(ordered.axis), dial)
            }
            Field::Centred if self.ordered.prism.is_none() => {
                Body::question(Pair(dot, "on centre?"), 0, Pair("no prism at the", dot), plain)
            }
            Field::Centred => Body::question(
                Pair("prism at the", dot),
                prism_figure(self.ordered.prism),
                "as ordered?",
                plain,
            ),
            Field::PrismIn => {
                Body::question(of("prism in, out"), Way(self.prism.base_in, "in", "out"), "", plain)
            }
            Field::PrismUp => {
                Body::question(of("prism up, down"), Way(self.prism.base_up, "up", "dn"), "", plain)
            }
            Field::Add => match (self.add, self.ordered.add) {
                (Some(add), Some(ordered)) => {
                    Body::question(of("addition"), add, self.if_told(ordered), plain)
                }
                _ => Body::question(of("addition"), "none", "", plain),
            },
        }
    }

    fn if_told<T>(&self, ordered: T) -> Ordered<T> {
        Ordered(self.told.then_some(ordered))
    }

    pub(super) const fn answers(&self) -> Answers {
        match self.field {
            Field::Centred => Answers::new("", "", "", "no", "yes"),
            Field::First | Field::Second => Answers::new("+", "-", "--", "++", "sharp"),
            _ => Answers::new("+", "-", "--", "++", "so"),
        }
    }
}

/// The prism in a figure of eight characters: its larger part.
fn prism_figure(prism: PrismPair) -> Way {
    if prism.base_in.abs() >= prism.base_up.abs() {
        Way(prism.base_in, "in", "out")
    } else {
        Way(prism.base_up, "up", "dn")
    }
}

/// An amount of prism and its base; `0` when there is none.
struct Way(Prism, &'static str, &'static str);

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(prism, plus, minus) = self;
        match prism.milli() {
            0 => f.write_str("0"),
            milli => write!(f, "{} {}", prism.abs(), if milli > 0 { plus } else { minus }),
        }
    }
}
