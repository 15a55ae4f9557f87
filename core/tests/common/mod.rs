//! Reading reference vectors, and comparing with them.
#![allow(dead_code, reason = "each test crate uses its part")]

use bevelbook_core::prescription::{Eye, LensPoint, SphereCylinder};
use bevelbook_core::units::{Axis, Length, Power, Prism, PrismPair, RefractiveIndex};
use std::collections::BTreeMap;

/// A computed number, how far it may be from the reference, and the turn after which it is itself again.
pub(crate) struct Value {
    ours: f64,
    bound: f64,
    turn: Option<f64>,
}

pub(crate) fn plain(ours: i32, bound: f64) -> Value {
    Value { ours: f64::from(ours), bound, turn: None }
}

pub(crate) fn wrapping(ours: i32, bound: f64, turn: f64) -> Value {
    Value { turn: Some(turn), ..plain(ours, bound) }
}

impl Value {
    fn error(&self, exact: f64) -> f64 {
        let apart = (self.ours - exact).abs();
        self.turn.map_or(apart, |turn| (apart % turn).min(turn - apart % turn))
    }
}

/// The inputs of one case, taken from the left.
pub(crate) struct Inputs<'a>(std::iter::Peekable<std::str::Split<'a, char>>);

impl Inputs<'_> {
    fn next(&mut self) -> &str {
        self.0.next().unwrap()
    }

    pub(crate) fn number(&mut self) -> i32 {
        self.next().parse().unwrap()
    }

    pub(crate) fn eye(&mut self) -> Eye {
        if self.next() == "R" { Eye::Right } else { Eye::Left }
    }

    pub(crate) fn power(&mut self) -> Power {
        Power::try_from(self.number()).unwrap()
    }

    pub(crate) fn length(&mut self) -> Length {
        Length::try_from(self.number()).unwrap()
    }

    pub(crate) fn index(&mut self) -> RefractiveIndex {
        RefractiveIndex::from_ten_thousandths(self.next().parse().unwrap()).unwrap()
    }

    pub(crate) fn lens(&mut self) -> SphereCylinder {
        SphereCylinder::new(self.power(), self.power(), Axis::try_from(self.number()).unwrap())
    }

    pub(crate) fn lenses(&mut self) -> Vec<SphereCylinder> {
        std::iter::from_fn(|| self.0.peek().is_some().then(|| self.lens())).collect()
    }

    pub(crate) fn point(&mut self) -> LensPoint {
        point(self.number(), self.number())
    }

    pub(crate) fn prism(&mut self) -> PrismPair {
        let [base_in, base_up] = [self.number(), self.number()].map(|milli| Prism::try_from(milli).unwrap());
        PrismPair { base_in, base_up }
    }
}

pub(crate) fn point(inward: i32, up: i32) -> LensPoint {
    LensPoint { inward: Length::from_milli(inward), up: Length::from_milli(up) }
}

/// 1/1000 degree in radians.
pub(crate) fn degrees(milli: i32) -> f64 {
    (f64::from(milli) / 1000.0).to_radians()
}

/// How one kind of case came out.
#[derive(Debug, Default)]
pub(crate) struct Worst {
    pub(crate) cases: usize,
    /// Of each value.
    pub(crate) values: Vec<WorstValue>,
}

/// The largest error of a value, its largest bound, and the most of a bound that an error took: bounds may depend on the
/// case.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct WorstValue {
    pub(crate) error: f64,
    pub(crate) bound: f64,
    pub(crate) of_bound: f64,
}

/// A row of the table that `tests/accuracy` prints.
pub(crate) fn accuracy(what: &str, cases: usize, error: f64, bound: &str, unit: &str) {
    println!("accuracy|{what}|{cases}|{error:.4}|{bound}|{unit}");
}

/// The rows of every kind; `unit` is that of a value of a kind.
pub(crate) fn tell(kinds: &BTreeMap<&str, Worst>, unit: impl Fn(&str, usize) -> &'static str) {
    for (kind, worst) in kinds {
        for (at, value) in worst.values.iter().enumerate() {
            // Where the bound is one for all, the worst error is the one that came nearest to it.
            let fixed = (value.error / value.bound - value.of_bound).abs() < 1e-9;
            let bound = match fixed {
                true => format!("{:.4}", value.bound),
                false => format!("by case; {:.3} of it at most", value.of_bound),
            };
            let name = if worst.values.len() == 1 {
                (*kind).to_owned()
            } else {
                format!("{kind}, value {}", at + 1)
            };
            accuracy(&name, worst.cases, value.error, &bound, unit(kind, at));
        }
    }
}

/// Compares every case of `vectors` with what `answer` makes of it.
///
/// # Errors
/// The first case that is not within its bound, with all its numbers.
pub(crate) fn compare(
    vectors: &str,
    answer: impl Fn(&str, Inputs<'_>) -> Vec<Value>,
) -> Result<BTreeMap<&str, Worst>, String> {
    let mut kinds: BTreeMap<&str, Worst> = BTreeMap::new();
    for line in vectors.lines().filter(|line| !line.starts_with('#')) {
        let (case, expected) = line.split_once(" = ").ok_or_else(|| format!("no case: {line}"))?;
        let (kind, inputs) = case.split_once(' ').ok_or_else(|| format!("no inputs: {line}"))?;
        let values = answer(kind, Inputs(inputs.split(' ').peekable()));
        let expected: Vec<f64> = expected.split(' ').map(|number| number.parse().unwrap()).collect();
        assert_eq!(values.len(), expected.len(), "{line}");
        let worst = kinds.entry(kind).or_default();
        worst.cases += 1;
        worst.values.resize(values.len(), WorstValue::default());
        for (at, (value, exact)) in values.iter().zip(expected).enumerate() {
            let error = value.error(exact);
            if error.is_nan() || error > value.bound {
                return Err(format!("{case}: value {at} is {}, not {exact} ± {}", value.ours, value.bound));
            }
            if value.bound.is_finite() {
                let worst = &mut worst.values[at];
                worst.error = worst.error.max(error);
                worst.bound = worst.bound.max(value.bound);
                worst.of_bound = worst.of_bound.max(error / value.bound);
            }
        }
    }
    Ok(kinds)
}
