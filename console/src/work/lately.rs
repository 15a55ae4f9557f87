//! What rims have shown, from words alone: a shop of ten thousand jobs is not folded to plan one.
//!
//! A `sized` word is what one job gives ([`SizedJob::lately`]): the position of its last pass in twelve figures, so that
//! words stand in the order of the station; what holds the lens, A and DBL in micrometres; what was tried; the model. Tabs
//! stand between. Of what was tried the rims stand apart by `|` and their lenses by `;`; of one lens a letter and
//! micrometres for each pass, and a comma between: `m` much too big, `t` a touch, `f` fits, `l` loose, and `g` for girth; at last
//! `@` and the record of its last pass, by which it is known at which station that was.

use super::frames::FrameKey;
use super::stations::Stations;
use super::words::SIZED;
use super::{SizedJob, Work, WorkError};
use crate::belief::{End, Rims, TooBig, Tried};
use crate::store::can_be_kept;
use bevelbook_core::record::{JobId, JournalId, RecordId};
use bevelbook_core::sizing::Rim;
use bevelbook_core::units::Length;

/// What the lenses of one job showed of frames of one model and size.
#[derive(Clone, Debug, PartialEq)]
pub struct SizedPair {
    /// Which job.
    pub id: JobId,
    /// Which frames.
    pub frame: FrameKey,
    /// What was tried.
    pub rims: Rims,
    /// The last pass of each of those lenses.
    pub last: [Vec<Option<RecordId>>; 2],
    /// The place of its last pass in the order of commits.
    pub position: i64,
}

impl SizedJob {
    /// As the shop is shown it.
    #[must_use]
    pub fn lately(self) -> SizedPair {
        let (rims, last) =
            (self.rims(), [0, 1].map(|eye| self.lenses[eye].iter().map(|lens| lens.last).collect()));
        SizedPair { id: self.id, rims, last, frame: self.frame, position: self.position }
    }
}

impl SizedPair {
    /// Its word; none where nothing was shown.
    pub(super) fn word(&self) -> Option<String> {
        let Self { frame: FrameKey { model, a, dbl, rim }, rims, last, position, .. } = self;
        let told = rims.iter().flatten().any(|tried| tried.is_cut() || tried.by_girth.is_some());
        let rims = [0, 1].map(|eye| {
            let lenses = rims[eye].iter().zip(&last[eye]).map(|(tried, last)| written(tried, *last));
            lenses.collect::<Vec<_>>().join(";")
        });
        let tried = rims.join("|");
        let word = format!("{SIZED}{position:012}\t{rim}\t{}\t{}\t{tried}\t{model}", a.milli(), dbl.milli());
        (told && can_be_kept(&word)).then_some(word)
    }

    fn read((word, id): &(String, u64), stations: &Stations) -> Option<Self> {
        let mut parts = word.strip_prefix(SIZED)?.splitn(6, '\t');
        let position = parts.next()?.parse().ok()?;
        let held = parts.next()?;
        let rim = Rim::ALL.into_iter().find(|rim| rim.to_string() == held)?;
        let [a, dbl] = [parts.next()?, parts.next()?].map(|size| size.parse().ok().map(Length::from_milli));
        let (right, left) = parts.next()?.split_once('|')?;
        let lenses = |rim: &str| -> Option<(Vec<Tried>, Vec<Option<RecordId>>)> {
            rim.split(';').map(|lens| tried(lens, stations)).collect()
        };
        let ((right, last_right), (left, last_left)) = (lenses(right)?, lenses(left)?);
        let (rims, last) = ([right, left], [last_right, last_left]);
        let frame = FrameKey { model: parts.next()?.to_owned(), a: a?, dbl: dbl?, rim };
        Some(Self { id: JobId(*id), frame, rims, last, position })
    }
}

fn written(tried: &Tried, last: Option<RecordId>) -> String {
    let too_big = tried.too_big.iter().map(|big| (if big.much { 'm' } else { 't' }, big.at));
    let end = tried.end.map(|end| match end {
        End::Fits(at) => ('f', at),
        End::Loose(at) => ('l', at),
    });
    let all = too_big.chain(end).chain(tried.by_girth.map(|at| ('g', at)));
    // They came from micrometres.
    let all = all.map(|(letter, at)| format!("{letter}{:.0}", at * 1000.0));
    all.chain(last.map(|last| format!("@{last}"))).collect::<Vec<_>>().join(",")
}

fn tried(written: &str, stations: &Stations) -> Option<(Tried, Option<RecordId>)> {
    let (mut tried, mut last) = (Tried::default(), None);
    for pass in written.split(',').filter(|pass| !pass.is_empty()) {
        let (letter, at) = pass.split_at_checked(1)?;
        if letter == "@" {
            let (journal, seq) = at.split_once(':')?;
            let journal = JournalId(u64::from_str_radix(journal, 16).ok()?);
            let id = RecordId { journal, seq: seq.parse().ok()? };
            tried.station = stations.of_record(id).0;
            last = Some(id);
            continue;
        }
        let at = f64::from(at.parse::<i32>().ok()?) / 1000.0;
        match letter {
            "m" | "t" => tried.too_big.push(TooBig { at, much: letter == "m" }),
            "f" => tried.end = Some(End::Fits(at)),
            "l" => tried.end = Some(End::Loose(at)),
            "g" => tried.by_girth = Some(at),
            _ => return None,
        }
    }
    Some((tried, last))
}

impl Work {
    /// What frames of whatever model showed in the `most` jobs that were sized last, the newest first. It is as good as the
    /// words of the book, which `book check` compares with the records: enough to learn from, no ground to judge a job.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn sized_lately(&self, most: u32) -> Result<Vec<SizedPair>, WorkError> {
        let (words, stations) = (self.book.last_found_by_beginning(SIZED, most)?, self.stations()?);
        Ok(words.iter().filter_map(|word| SizedPair::read(word, &stations)).collect())
    }

    /// The same of every job whose last pass lies behind a place in the order of commits, in that order.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn sized_since(&self, position: i64) -> Result<Vec<SizedPair>, WorkError> {
        let words = self.book.found_between(&format!("{SIZED}{position:012}"), &format!("{SIZED}~"))?;
        let stations = self.stations()?;
        Ok(words.iter().filter_map(|word| SizedPair::read(word, &stations)).collect())
    }
}
