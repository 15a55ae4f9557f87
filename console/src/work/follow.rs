//! The words that jobs are found by follow the records: [`follow`] gives every job that new records bear on its words
//! anew, within the write that appends them; [`in_memory`] does so where the book has none and is not written, and where it
//! has those of a newer program. Those are left to it: whoever made them anew in turn would do so again and again.

use super::holding::{Fact, Filings, Holding, ask_of_few};
use super::words::{CLOSED, DAMAGED, GONE, OWN, SPOILED, VERSION, by_filing, by_number, of_order};
use super::{Job, WorkError};
use crate::desk::{Desk, Filing};
use crate::store::{Newer, Patience, Reader, Upto, Words};
use bevelbook_core::record::{FIRST_DESK_KIND, JobId};
use std::collections::BTreeSet;

/// The words that follow from what bears on a job.
fn words(reader: &Reader, holding: Holding, id: JobId) -> Result<BTreeSet<String>, WorkError> {
    let own = holding.lines.iter().filter(|line| line.job == Some(id));
    let desk = own.filter_map(|line| if let Fact::Desk(desk) = &line.fact { Some(desk) } else { None });
    let (mut words, mut number) = (BTreeSet::new(), None);
    for fact in desk {
        match fact {
            Desk::Filing(Filing { from }) => drop(words.insert(by_filing(*from))),
            Desk::Order(order) => number = Some(order.number),
            _ => {}
        }
    }
    if let Some((_, void)) = holding.opening(id) {
        words.insert(if void { GONE } else { OWN }.into());
    }
    match Job::of(id, holding) {
        Ok(job) => {
            let spoiled = job.spoiled().filter_map(|spoiled| Some((SPOILED, spoiled.at?)));
            let closed = job.closed_at().map(|at| (CLOSED, at));
            words.append(&mut of_order(&job.order, job.closed.is_none(), spoiled.chain(closed)));
            words.extend(job.sized().and_then(|sized| sized.lately().word()));
        }
        Err(WorkError::Damaged { .. }) if number.is_some() || is_ordered(reader, id)? => {
            words.insert(DAMAGED.into());
            words.extend(number.map(by_number));
        }
        Err(WorkError::Damaged { .. }) => {}
        Err(other) => return Err(other),
    }
    Ok(words)
}

/// Whether there is an order, if only a damaged one.
fn is_ordered(reader: &Reader, id: JobId) -> Result<bool, WorkError> {
    Ok(reader.entries_of_job(id.0)?.iter().any(|entry| entry.kind == FIRST_DESK_KIND))
}

/// Whether the words follow all records there are.
pub(super) fn are_whole(reader: &Reader) -> Result<bool, WorkError> {
    Ok(reader.follows_all(VERSION)?)
}

/// Up to where the words are followed, and what came since.
pub(super) fn new(reader: &Reader) -> Result<(Option<Upto>, Newer), WorkError> {
    let known = reader.found_upto()?.filter(|upto| upto.version == VERSION);
    // Who only notes is not told yet from where on, and would ask for the whole book.
    if known.is_none() && reader.only_notes() {
        return Ok((None, Newer::default()));
    }
    Ok((known, reader.newer(known.map_or(0, |known| known.position), Desk::FILING)?))
}

/// Brings the words up to the last record there is.
pub(super) fn follow(words: &mut Words<'_>) -> Result<(), WorkError> {
    if is_newer(words.found_upto()?) {
        words.in_memory()?;
    }
    let (known, new) = new(words)?;
    let since = known.map_or(0, |known| known.position);
    let position = match new.last {
        Some(last) => last,
        None => words.last_position()?,
    };
    let upto = Upto { version: VERSION, position };
    if known == Some(upto) {
        return Ok(());
    }
    // What took the words away goes with the next question, and may take its time.
    let before = known.is_none().then(|| words.wait_as(Patience::WholeBook));
    if known.is_none() {
        words.forget()?;
    }
    // Which jobs a record bears on is told by the filings, so those come first.
    for (under, said) in &new.said {
        if let Ok(Desk::Filing(filing)) = Desk::decode(Desk::FILING, said) {
            words.add(*under, &by_filing(filing.from))?;
        }
    }
    let touched: BTreeSet<JobId> = new.jobs.into_iter().map(JobId).collect();
    ask_of_few(words, &touched, |reader, id| drop(reader.words_of(id.0)))?;
    // All of them at once where nearly every job is touched.
    let filings = if since == 0 { Filings::all(words)? } else { Filings::near(words, &touched)? };
    let bears: BTreeSet<JobId> = touched.iter().flat_map(|id| filings.bearing_on(*id)).collect();
    // What is near to those that were touched is near to all of them, unless there are others.
    let filings = if since == 0 || bears == touched { filings } else { Filings::near(words, &bears)? };
    for some in bears.into_iter().collect::<Vec<_>>().chunks(Reader::AT_ONCE) {
        let entries = filings.entries(words, some)?;
        for id in some {
            let now = self::words(words, Holding::among(&entries, &filings, *id), *id)?;
            // Where there were none there is none to take away.
            match since {
                0 => now.iter().try_for_each(|word| words.add(id.0, word))?,
                _ => words.set(id.0, &now)?,
            }
        }
    }
    words.follow(upto)?;
    before.map(|before| words.wait_as(before));
    Ok(())
}

/// Whether words are those of a newer program.
fn is_newer(upto: Option<Upto>) -> bool {
    upto.is_some_and(|upto| upto.version > VERSION)
}

/// Whether the book has the words of a newer program.
pub(super) fn are_newer(reader: &Reader) -> Result<bool, WorkError> {
    Ok(is_newer(reader.found_upto()?))
}

/// Words in memory are brought up to what others wrote; in a book that has its own they did that, unless one of them was a newer
/// program.
pub(super) fn keep_up(reader: &Reader) -> Result<(), WorkError> {
    match reader.words_in_memory() {
        Some(mut words) => follow(&mut words),
        None if are_newer(reader)? => in_memory(reader),
        None => Ok(()),
    }
}

/// Makes all words anew in memory, where this reader then takes them from.
pub(super) fn in_memory(reader: &Reader) -> Result<(), WorkError> {
    follow(&mut reader.in_memory()?)
}

/// What is wrong with the words of the book, a sentence each.
pub(super) fn compared(reader: &Reader) -> Result<Vec<String>, WorkError> {
    in_memory(reader)?;
    let strays = reader.strays(TOLD)?.into_iter();
    Ok(strays
        .map(|stray| {
            let (job, word) = (JobId(stray.job), stray.word.replace('\t', " "));
            let what = if stray.given { "is not found by" } else { "is found by what no record says:" };
            format!("job {job} {what} `{word}`; book check --renew makes what jobs are found by anew")
        })
        .collect())
}

/// So many differences are told one by one.
const TOLD: usize = 20;

#[cfg(test)]
mod tests;
