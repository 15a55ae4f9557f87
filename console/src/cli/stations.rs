//! `station name`, `add` and `here`: which stations there are, and at which of them a console stands.

use super::record::short;
use super::{Failure, Report, answer, arguments};
use crate::shell::word;
use crate::view::Identity;
use crate::work::Work;
use bevelbook_core::link::plain;
use bevelbook_core::record::RecordId;
use clap::Args;

/// A station by its name.
#[derive(Args)]
pub(super) struct NameArgs {
    /// What the shop calls it.
    #[arg(value_parser = arguments::name)]
    name: String,
}

pub(super) fn name(work: &mut Work, NameArgs { name }: &NameArgs) -> Result<Report, Failure> {
    let (stations, here) = (work.stations()?, work.to_be_named()?);
    let before = stations.told(here).map_or("the station".to_owned(), str::to_owned);
    let id = work.name_station(here, name)?;
    said(work, id, name, &format!("{before} is called {name}"))
}

pub(super) fn add(work: &mut Work, NameArgs { name }: &NameArgs) -> Result<Report, Failure> {
    let id = work.add_station(name)?;
    let says = format!("one more station, {name}");
    let next = format!(
        "hint: say what its dial counts: bevelbook station dial --station {} …; which keypads stand there: \
         bevelbook keypad move; and where this console stands: bevelbook station here",
        word(name)
    );
    Ok(said(work, id, name, &says)?.hint(next))
}

pub(super) fn here(work: &mut Work, NameArgs { name }: &NameArgs) -> Result<Report, Failure> {
    let (own, stations) = (work.own_journal()?, work.stations()?);
    let (id, _) = work.stand(own, stations.called(name)?, None)?;
    said(work, id, name, &format!("what is typed at this console is of {name}"))
}

fn said(work: &Work, id: RecordId, name: &str, says: &str) -> Result<Report, Failure> {
    let (called, says) = (short(work, id)?, plain(says).collect::<String>());
    Ok(answer!("{called} {says}"; record = Identity::of(id), station = name))
}
