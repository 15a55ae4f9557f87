//! What was not looked at, or found bad, beside the optics.

use super::gap;
use crate::work::Job;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{CheckItem, Checks};
use bevelbook_core::tolerance::{Judgement, Missing, Subject};
use std::fmt;

/// What is open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OpenItem {
    /// It was not looked at.
    NotMade(CheckItem),
    /// It was looked at and is not as it should be.
    Bad(CheckItem),
    /// Nothing says how impact resistance is accounted for.
    Impact,
    /// The PD was not measured, though the standard can do without it.
    Centres,
}

impl fmt::Display for OpenItem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotMade(item) => write!(f, "{item}: not looked at"),
            Self::Bad(item) => write!(f, "{item}: BAD"),
            Self::Impact => f.write_str("impact: not recorded; local rules decide"),
            Self::Centres => f.write_str("PD: not measured"),
        }
    }
}

/// One thing that is open.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// Of a lens, or of the pair.
    pub subject: Subject,
    /// What.
    pub item: OpenItem,
    /// What a person would type when it has been seen to.
    pub command: String,
}

impl fmt::Display for Open {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.subject {
            Subject::Eye(eye) => write!(f, "{eye} lens: {}", self.item),
            Subject::Pair => write!(f, "pair: {}", self.item),
        }
    }
}

pub(super) fn open(job: &Job, pair: &Judgement) -> Vec<Open> {
    let mut open = Vec::new();
    for eye in Eye::BOTH {
        let checks = &job.state.lens(eye).checks;
        let items = CheckItem::ALL.into_iter().filter(|item| !item.is_of_pair());
        for item in items.filter_map(|item| unmet(checks, item)) {
            let command = match item {
                OpenItem::NotMade(item) | OpenItem::Bad(item) => check(job, Some(eye), &key(item)),
                _ => check(job, Some(eye), "…"),
            };
            open.push(Open { subject: Subject::Eye(eye), item, command });
        }
        if !CheckItem::IMPACT.into_iter().any(|item| checks.get(item).is_some()) {
            let command = check(job, Some(eye), "impact-…");
            open.push(Open { subject: Subject::Eye(eye), item: OpenItem::Impact, command });
        }
    }
    for item in CheckItem::ALL.into_iter().filter(|item| item.is_of_pair()) {
        if let Some(unmet) = unmet(&job.state.checks, item) {
            let command = check(job, None, &key(item));
            open.push(Open { subject: Subject::Pair, item: unmet, command });
        }
    }
    let missed = |missing: &Missing| matches!(missing, Missing::Pd | Missing::MonocularPd);
    if job.state.centres.is_none() && !pair.missing().iter().any(missed) {
        let command = gap::centres(job);
        open.push(Open { subject: Subject::Pair, item: OpenItem::Centres, command });
    }
    open
}

/// What is open of an item. Those that not every lens needs are open only when they are bad.
fn unmet(checks: &Checks, item: CheckItem) -> Option<OpenItem> {
    let needed = CheckItem::FINISH.contains(&item) || item.is_of_pair();
    match checks.get(item) {
        Some(false) => Some(OpenItem::Bad(item)),
        None if needed => Some(OpenItem::NotMade(item)),
        _ => None,
    }
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
