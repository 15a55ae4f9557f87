//! By what lens a reading is off, and what readings of one lens come to when it was read more than once.
//!
//! Neither is judged: the standard limits power, cylinder and axis one by one. These say what the eye would meet.

use crate::work::{Fact, Job};
use bevelbook_core::prescription::{
    Eye, PowerVector, RepeatedReadings, SphereCylinder, blur_strength, residual,
};
use bevelbook_core::record::{Bench, Stage};
use bevelbook_core::units::Power;

/// The lens that a reading has too much.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Difference {
    /// It, in minus-cylinder form.
    pub lens: SphereCylinder,
    /// How strongly it blurs: the power of the sphere that blurs as much.
    pub blur: Power,
}

impl Difference {
    /// None where the two differ by more than a lens may have.
    pub(super) fn of(expected: SphereCylinder, read: SphereCylinder) -> Option<Self> {
        let lens = residual(expected, read).ok()?.minus_cylinder();
        Some(Self { lens, blur: blur_strength(expected, read).ok()? })
    }
}

/// What the readings of one lens in the frame come to; the latest of them is the one that is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeated {
    /// How many there are, at least two.
    pub count: usize,
    /// Their mean, in minus-cylinder form.
    pub mean: SphereCylinder,
    /// Their standard deviation as one power.
    pub spread: Power,
}

impl Repeated {
    /// None where the present lens was read fewer than two times in the frame.
    pub(super) fn of(job: &Job, eye: Eye) -> Option<Self> {
        let lens = job.pair().lens(eye);
        let of_it = job.standing().filter_map(|line| match &line.fact {
            Fact::Bench(Bench::Reading(reading))
                if reading.stage == Stage::Mounted && reading.lens == lens =>
            {
                Some(reading.read.power())
            }
            _ => None,
        });
        let readings: Vec<SphereCylinder> = of_it.collect();
        // Of very many the latest tell.
        let latest = &readings[readings.len().saturating_sub(RepeatedReadings::MAX)..];
        let summed = RepeatedReadings::of(latest).ok()?;
        let mean = PowerVector::minus_cylinder(summed.mean).ok()?;
        Some(Self { count: summed.count, mean, spread: summed.spread()? })
    }
}
