//! What jobs are found by: words that follow from their records, so that no command reads the whole book to find one.
//!
//! They are hints for finding and nothing more: whoever finds a job by one folds its records and looks whether it is so.
//! One word each, then what it is of:
//!
//! - `number`: every job that was ordered. `of` a customer, `model` of a frame: the same, its number behind them, by which
//!   they stand in the order of opening.
//! - `closed`: when a job was closed; `spoiled`: when a lens of it was; its number behind it.
//! - `open`: those that are not closed, due date and number behind it, so that the soonest stands first; their `tray`
//!   and `customer`.
//! - `own`: those of a keypad that wait to be filed; `gone`: those whose opening was undone.
//! - `damaged`: those that were ordered and cannot be read.
//! - `sized`: what the lenses of a job showed of their rims (`lately.rs`). This one is read as it is, for what the shop as
//!   a whole has shown.
//! - `filing`: those under which the job behind it was ever filed, whether that holds or not.

use crate::desk::Order;
use crate::settings::LETTERS;
use bevelbook_core::record::JobId;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::BTreeSet;

/// Grows whenever other words follow from the same records.
pub(super) const VERSION: u32 = 6;

pub(super) const OPEN: &str = "open ";
pub(super) const OWN: &str = "own";
pub(super) const GONE: &str = "gone";
pub(super) const DAMAGED: &str = "damaged";
pub(super) const NUMBER: &str = "number ";
pub(super) const FILING: &str = "filing ";
pub(super) const CLOSED: &str = "closed ";
pub(super) const SPOILED: &str = "spoiled ";
pub(super) const SIZED: &str = "sized ";
pub(super) const TRAY: &str = "tray ";
pub(super) const OF: &str = "of ";
pub(super) const MODEL: &str = "model ";
pub(super) const CUSTOMER: &str = "customer ";

/// A text in a word: small letters, and no more of them than a text has that is typed, so that every engine keeps it.
fn of_text(text: &str) -> String {
    text.to_lowercase().chars().filter(|letter| *letter != '\0').take(LETTERS).collect()
}

pub(super) fn by_number(number: u32) -> String {
    format!("{NUMBER}{number:010}")
}

pub(super) fn by_tray(tray: &str) -> String {
    format!("{TRAY}{}", of_text(tray))
}

pub(super) fn by_customer(customer: &str) -> String {
    format!("{CUSTOMER}{}", of_text(customer))
}

/// How the words of all jobs of a customer begin.
pub(super) fn of_customer(customer: &str) -> String {
    format!("{OF}{}\t", of_text(customer))
}

/// How the words of all jobs with frames of a model begin.
pub(super) fn of_model(model: &str) -> String {
    format!("{MODEL}{}\t", of_text(model))
}

pub(super) fn by_filing(from: JobId) -> String {
    format!("{FILING}{from}")
}

/// The job that is told of behind [`FILING`].
pub(super) fn filed(word: &str) -> Option<JobId> {
    u64::from_str_radix(word.strip_prefix(FILING)?, 16).ok().map(JobId)
}

/// The number at the end of a word that ends in one.
pub(super) fn number_in(word: &str) -> Option<u32> {
    word.rsplit([' ', '\t']).next()?.parse().ok()
}

/// The due date and the number behind [`OPEN`].
pub(super) fn due_in(word: &str) -> Option<(Option<Date>, u32)> {
    let due = word.strip_prefix(OPEN)?.split('\t').next()?;
    Some((due.parse().ok(), number_in(word)?))
}

/// How words of what happened at a time begin; they stand in the order of times.
pub(super) fn at(what: &str, at: Timestamp) -> String {
    format!("{what}{:013}", at.as_millisecond().max(0))
}

/// The words of a job with this order, as amended, and of what happened to it and when.
pub(super) fn of_order(
    order: &Order,
    is_open: bool,
    happened: impl Iterator<Item = (&'static str, Timestamp)>,
) -> BTreeSet<String> {
    let numbered = |beginning: String| format!("{beginning}{:010}", order.number);
    let (customer, model) = (of_customer(&order.customer), of_model(&order.frame.model));
    let mut words = BTreeSet::from([by_number(order.number), numbered(customer), numbered(model)]);
    words.extend(happened.map(|(what, time)| numbered(format!("{}\t", at(what, time)))));
    if is_open {
        // Behind every date.
        let due = order.due.map_or("~".into(), |due| due.to_string());
        words.insert(numbered(format!("{OPEN}{due}\t")));
        words.insert(by_customer(&order.customer));
        words.extend(order.tray.as_deref().map(by_tray));
    }
    words
}
