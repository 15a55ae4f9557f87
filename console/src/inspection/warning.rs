//! Likely mistakes behind what was read.
//!
//! Uncut and mounted readings of one lens are compared with each other by the standard's limits for the uncut one
//! (common practice, no source: the same lens should read alike; the limits are borrowed as a measure of alike).

use super::remark::{Kind, Remark};
use crate::settings::Tolerances;
use crate::work::Job;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::LensState;
use bevelbook_core::tolerance::{EyeLimits, Limits, Subject, deviation};

pub(super) fn warnings(job: &Job, standard: &Tolerances) -> Vec<Remark> {
    let overtaken = job.overtaken().into_iter();
    let mut warnings: Vec<Remark> =
        overtaken.map(|done| Remark::of(Subject::Eye(done.eye), Kind::Overtaken, done.to_string())).collect();
    let swapped = swapped(job, standard);
    for eye in Eye::BOTH {
        warnings.extend(slips_of(job, standard, eye));
        warnings.extend(as_prescribed(job, standard, eye));
        let lens = job.state.lens(eye);
        if !swapped {
            warnings.extend(changed(job, standard, eye));
        }
        // Where passes were logged it is a gap.
        if lens.mounted.is_some() && lens.sizing.passes == 0 && job.made(eye).is_ok() {
            let words = ": read in the frame, but no pass that fits was logged";
            warnings.push(Remark::of_lens(eye, Kind::NotFitted, words));
        }
    }
    if swapped {
        warnings.push(Remark::of(
            Subject::Pair,
            Kind::Swapped,
            "R/L swapped? The mounted readings fit the uncut ones of the other eye: the lenses, or the readings?",
        ));
    }
    warnings
}

/// Each slip once, whether the uncut reading looks like it, the mounted one, or both.
fn slips_of(job: &Job, standard: &Tolerances, eye: Eye) -> Vec<Remark> {
    let order = job.order.pair(standard);
    let limits = Limits::of(&standard.table(), job.order.lens.design, &order);
    let raised = |read: Option<SphereCylinder>| {
        read.map(|read| limits.slips(eye, &order.eyes, read)).unwrap_or_default()
    };
    let [uncut, mounted] = powers(job.state.lens(eye)).map(raised);
    let only_mounted = mounted.iter().filter(|slip| !uncut.contains(slip)).map(|slip| (slip, "mounted"));
    let of_uncut = uncut.iter().map(|slip| match mounted.contains(slip) {
        true => (slip, "uncut and mounted"),
        false => (slip, "uncut"),
    });
    let said = |(slip, which)| Remark::of_lens(eye, Kind::Slip, &format!(", {which} reading: {slip}"));
    of_uncut.chain(only_mounted).map(said).collect()
}

/// A lens that is out by the supplier's power to verify and would hold by the ordered one: it was read against the wrong
/// figure, or the supplier sent it as ordered.
fn as_prescribed(job: &Job, standard: &Tolerances, eye: Eye) -> Option<Remark> {
    job.order.verify(eye)?;
    let (table, design) = (&standard.table(), job.order.lens.design);
    let holds = |order: &EyeOrder, read| {
        EyeLimits::of(table, design, order).hold(&deviation(order.power.minus_cylinder(), read))
    };
    let (ordered, expected) = (job.order.eye(eye), job.order.expected(eye));
    let read = powers(job.state.lens(eye)).into_iter().flatten().last()?;
    (holds(ordered, read) && !holds(&expected, read)).then(|| {
        let words = format!(
            ": reads the ordered power, not the supplier's ({}): is it another lens, or was it read against the wrong \
             figure?",
            expected.power
        );
        Remark::of_lens(eye, Kind::Slip, &words)
    })
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

fn changed(job: &Job, standard: &Tolerances, eye: Eye) -> Option<Remark> {
    let [uncut, mounted] = both(job.state.lens(eye))?;
    let limits = limits(job, standard, uncut);
    let off = deviation(uncut, mounted);
    if !limits.hold_powers(&off) {
        let alike = [("power", limits.power), ("cylinder", limits.cylinder)];
        let alike =
            alike.into_iter().filter_map(|(name, limit)| Some(format!("{name} within {:.2} D", limit?)));
        let words = format!(
            ": {uncut} uncut and {mounted} mounted do not read as one lens ({}): is it another lens, or a slip of \
             the pen?",
            alike.collect::<Vec<_>>().join(", ")
        );
        return Some(Remark::of_lens(eye, Kind::Differ, &words));
    }
    let (limit, by) = (limits.axis.limit()?, off.axis?);
    let plus = if by.milli() > 0 { "+" } else { "" };
    let words = format!(
        ": axis {} uncut and {} mounted, {plus}{by}° apart (limit {limit}°): did it turn on its pad, or was it \
         blocked askew?",
        uncut.axis, mounted.axis
    );
    (!limit.holds(by.milli())).then(|| Remark::of_lens(eye, Kind::Turned, &words))
}

fn swapped(job: &Job, standard: &Tolerances) -> bool {
    let [Some(right), Some(left)] = Eye::BOTH.map(|eye| both(job.state.lens(eye))) else { return false };
    let alike = |uncut, mounted| limits(job, standard, uncut).hold(&deviation(uncut, mounted));
    let own = alike(right[0], right[1]) || alike(left[0], left[1]);
    !own && alike(right[0], left[1]) && alike(left[0], right[1])
}
