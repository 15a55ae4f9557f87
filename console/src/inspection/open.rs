//! What was not looked at, or found bad, beside the optics.

use super::gap;
use super::remark::{Kind, Remark};
use crate::work::{Beside, Job};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{CheckItem, Checks, Flow};
use bevelbook_core::tolerance::{Judgement, Missing, Subject};

pub(super) fn open(job: &Job, flow: Flow, pair: &Judgement) -> Vec<Remark> {
    let mut open = Vec::new();
    for eye in Eye::BOTH.into_iter().filter(|eye| job.order.eye(*eye).wanted.is_made()) {
        let checks = &job.state.lens(eye).checks;
        let items = CheckItem::ALL.into_iter().filter(|item| !item.is_of_pair());
        open.extend(items.filter_map(|item| unmet(job, flow, Some(eye), checks, item)));
        if !CheckItem::IMPACT.into_iter().any(|item| checks.get(item).is_some()) {
            let words = "drop ball: not recorded; local rules decide";
            open.push(remark(Some(eye), Kind::Impact, words, check(job, Some(eye), "drop-ball-…")));
        }
    }
    let items = CheckItem::ALL.into_iter().filter(|item| item.is_of_pair());
    open.extend(items.filter_map(|item| unmet(job, flow, None, &job.state.checks, item)));
    let missed = |missing: &Missing| matches!(missing, Missing::Pd | Missing::MonocularPd);
    if job.state.centres.is_none() && !pair.missing().iter().any(missed) {
        open.push(remark(None, Kind::Centres, "PD: not measured", gap::centres(job)));
    }
    open
}

/// What is open of an item. Those that not every lens needs are open only when they are bad.
fn unmet(job: &Job, flow: Flow, eye: Option<Eye>, checks: &Checks, item: CheckItem) -> Option<Remark> {
    let needed = Flow::CHECKS.contains(&item) && flow.asks(item);
    let (kind, words) = match checks.get(item) {
        Some(false) => (Kind::Bad, Beside::Bad(item).to_string()),
        None if needed => (Kind::NotMade, item.to_string()),
        _ => return None,
    };
    Some(remark(eye, kind, &words, check(job, eye, &key(item))))
}

fn remark(eye: Option<Eye>, kind: Kind, what: &str, command: String) -> Remark {
    let remark = match eye {
        Some(eye) => Remark::of_lens(eye, kind, &format!(": {what}")),
        None => Remark::of(Subject::Pair, kind, format!("pair: {what}")),
    };
    Remark { what: what.to_owned(), command: Some(command), ..remark }
}

/// What the shop does not ask and nobody looked at: of the lenses that are made, and of the pair.
pub(super) fn not_asked(job: &Job, flow: Flow) -> impl Iterator<Item = Remark> {
    let eyes = || Eye::BOTH.into_iter().filter(|eye| job.order.eye(*eye).wanted.is_made());
    let unseen = move |item: &CheckItem| match item.is_of_pair() {
        true => job.state.checks.get(*item).is_none(),
        false => eyes().any(|eye| job.state.lens(eye).checks.get(*item).is_none()),
    };
    let items = Flow::CHECKS.into_iter().filter(move |item| !flow.asks(*item)).filter(unseen);
    items.map(|item| {
        Remark::of(Subject::Pair, Kind::NotAsked, format!("{item}: not asked by this shop's settings"))
    })
}

/// The word for an item on the command line: that of its record.
fn key(item: CheckItem) -> String {
    match serde_json::to_value(item) {
        Ok(serde_json::Value::String(key)) => key,
        _ => "…".to_owned(),
    }
}

fn check(job: &Job, eye: Option<Eye>, item: &str) -> String {
    let eye = eye.map_or_else(String::new, |eye| format!(" {eye}"));
    format!("bevelbook record check {} {item}{eye}", job.order.number)
}
