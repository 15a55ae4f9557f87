//! Likely mistakes behind what was read.
//!
//! Uncut and mounted readings of one lens are compared with each other by the standard's limits for the uncut one
//! (common practice, no source: the same lens should read alike; the limits are borrowed as a measure of alike).

use crate::settings::Tolerances;
use crate::work::Job;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::LensState;
use bevelbook_core::sizing::Outcome;
use bevelbook_core::tolerance::{EyeLimits, Limit, Limits, Slip, deviation};
use bevelbook_core::units::Angle;
use std::fmt;

/// A likely mistake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Warning {
    /// A reading that is out looks like a known slip.
    Slip {
        /// Of which eye.
        eye: Eye,
        /// Which slip.
        slip: Slip,
        /// Whether the uncut reading looks like it.
        uncut: bool,
        /// Whether the mounted one does.
        mounted: bool,
    },
    /// The mounted readings fit the uncut ones of the other eye, and not their own.
    Swapped,
    /// Power and cylinder read alike before and after; the axis does not.
    Turned {
        /// Of which eye.
        eye: Eye,
        /// Uncut and mounted reading, in minus-cylinder form.
        read: [SphereCylinder; 2],
        /// From uncut to mounted.
        by: Angle,
        /// What would pass for alike, in degrees.
        limit: Limit,
    },
    /// Uncut and mounted reading are of different power.
    Differ {
        /// Of which eye.
        eye: Eye,
        /// Uncut and mounted reading, in minus-cylinder form.
        read: [SphereCylinder; 2],
        /// What would pass for alike, in dioptres: power and cylinder; `None` where there is no limit.
        limit: [Option<Limit>; 2],
    },
    /// There is a reading in the frame of a lens that does not fit it.
    NotFitted {
        /// Of which eye.
        eye: Eye,
        /// What the hand felt last; `None` when no pass was logged.
        last: Option<Outcome>,
    },
}

impl Warning {
    /// The eye it belongs to; `None` for the pair.
    #[must_use]
    pub const fn eye(&self) -> Option<Eye> {
        match self {
            Self::Slip { eye, .. }
            | Self::Turned { eye, .. }
            | Self::Differ { eye, .. }
            | Self::NotFitted { eye, .. } => Some(*eye),
            Self::Swapped => None,
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Slip { eye, slip, uncut, mounted } => {
                let reading = match (uncut, mounted) {
                    (true, true) => "uncut and mounted reading",
                    (true, false) => "uncut reading",
                    _ => "mounted reading",
                };
                write!(f, "{eye} lens, {reading}: {slip}")
            }
            Self::Swapped => f.write_str(
                "pair: the mounted readings fit the uncut ones of the other eye: were the lenses, or the \
                 readings, taken for each other?",
            ),
            Self::Turned { eye, read: [uncut, mounted], by, limit } => {
                let plus = if by.milli() > 0 { "+" } else { "" };
                write!(
                    f,
                    "{eye} lens: axis {} uncut and {} mounted, {plus}{by}° apart (limit {limit}°): did it turn on \
                     its pad, or was it blocked askew?",
                    uncut.axis, mounted.axis
                )
            }
            Self::Differ { eye, read: [uncut, mounted], limit } => {
                let said = |name: &str, limit: &Option<Limit>| {
                    limit.map(|limit| format!("{name} within {limit:.2} D"))
                };
                let alike = [said("power", &limit[0]), said("cylinder", &limit[1])];
                let alike: Vec<String> = alike.into_iter().flatten().collect();
                write!(
                    f,
                    "{eye} lens: {uncut} uncut and {mounted} mounted do not read as one lens ({}): is it another \
                     lens, or a slip of the pen?",
                    alike.join(", ")
                )
            }
            Self::NotFitted { eye, last: Some(last) } => {
                write!(f, "{eye} lens: read in the frame, but its last pass says {last}, not fits")
            }
            Self::NotFitted { eye, last: None } => {
                write!(f, "{eye} lens: read in the frame, but no pass that fits was logged")
            }
        }
    }
}

pub(super) fn warnings(job: &Job, standard: &Tolerances) -> Vec<Warning> {
    let mut warnings = Vec::new();
    let swapped = swapped(job, standard);
    for eye in Eye::BOTH {
        slips_of(job, standard, eye, &mut warnings);
        let lens = job.state.lens(eye);
        if !swapped {
            warnings.extend(changed(job, standard, eye));
        }
        if lens.mounted.is_some() && !lens.sizing.is_done() {
            warnings.push(Warning::NotFitted { eye, last: lens.sizing.last });
        }
    }
    if swapped {
        warnings.push(Warning::Swapped);
    }
    warnings
}

/// Each slip once, whether the uncut reading looks like it, the mounted one, or both.
fn slips_of(job: &Job, standard: &Tolerances, eye: Eye, warnings: &mut Vec<Warning>) {
    let order = job.order.pair();
    let limits = Limits::of(&standard.table(), job.order.lens.design, &order);
    let raised = |read: Option<SphereCylinder>| {
        read.map(|read| limits.slips(eye, &order.eyes, read)).unwrap_or_default()
    };
    let [uncut, mounted] = powers(job.state.lens(eye)).map(raised);
    for slip in uncut.iter().copied() {
        let mounted = mounted.contains(&slip);
        warnings.push(Warning::Slip { eye, slip, uncut: true, mounted });
    }
    for slip in mounted.iter().copied().filter(|slip| !uncut.contains(slip)) {
        warnings.push(Warning::Slip { eye, slip, uncut: false, mounted: true });
    }
}

/// Uncut and mounted power in minus-cylinder form.
fn powers(lens: &LensState) -> [Option<SphereCylinder>; 2] {
    [&lens.uncut, &lens.mounted].map(|reading| reading.map(|reading| reading.read.power().minus_cylinder()))
}

fn both(lens: &LensState) -> Option<[SphereCylinder; 2]> {
    let [uncut, mounted] = powers(lens);
    Some([uncut?, mounted?])
}

/// What a lens that was read like this may be off.
fn limits(job: &Job, standard: &Tolerances, read: SphereCylinder) -> EyeLimits {
    EyeLimits::of(&standard.table(), job.order.lens.design, &EyeOrder::single_vision(read))
}

fn changed(job: &Job, standard: &Tolerances, eye: Eye) -> Option<Warning> {
    let read = both(job.state.lens(eye))?;
    let [uncut, mounted] = read;
    let limits = limits(job, standard, uncut);
    let off = deviation(uncut, mounted);
    if !limits.hold_powers(&off) {
        return Some(Warning::Differ { eye, read, limit: [limits.power, limits.cylinder] });
    }
    let (limit, by) = (limits.axis.limit()?, off.axis?);
    (!limit.holds(by.milli())).then_some(Warning::Turned { eye, read, by, limit })
}

fn swapped(job: &Job, standard: &Tolerances) -> bool {
    let [Some(right), Some(left)] = Eye::BOTH.map(|eye| both(job.state.lens(eye))) else { return false };
    let alike = |uncut, mounted| limits(job, standard, uncut).hold(&deviation(uncut, mounted));
    let own = alike(right[0], right[1]) || alike(left[0], left[1]);
    !own && alike(right[0], left[1]) && alike(left[0], right[1])
}
