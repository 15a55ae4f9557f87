//! The cards of open jobs for one keypad, from the book as it is now.
//!
//! A card holds no person's name: a job is known by its number, its tray and its frame.

use super::by_book::{ByBook, TellsOf};
use super::snapshot::{Ring, Showing, Snapshot};
use crate::desk::Frame;
use crate::work::{Job, Line, Unfiled, Whose, WorkError};
use bevelbook_core::link::{Card, FILED, LABEL_BYTES, TRAY_BYTES};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{JobState, Progress};
use bevelbook_core::sizing::Size;
use bevelbook_core::tolerance::{Limits, Look};
use heapless::{String, Vec};
use jiff::civil::{Date, date};

impl Ring<'_> {
    /// The card of a job, and the number that the keypad's journal comes to before it may be made anew with no record of the
    /// job; none when it wants none. An order's says what the book tells of its frame.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn card_of(
        &self,
        whose: &Whose,
        by_book: &mut ByBook,
    ) -> Result<Option<(Card, u32)>, WorkError> {
        match whose {
            Whose::Ordered(job) if job.closed.is_none() => {
                self.card(job, by_book.of(self.work, job)?).map(Some)
            }
            Whose::Own(own) if self.wants_card(own) => self.card_of_own(own).map(Some),
            _ => Ok(None),
        }
    }

    fn card(&self, job: &Job, told: &TellsOf) -> Result<(Card, u32), WorkError> {
        let (id, order) = (job.id, &job.order);
        // The latest, where a card has no room for all.
        let filed = &job.filed[job.filed.len().saturating_sub(FILED)..];
        let tolerances = self.work.settings().tolerances()?;
        let mut card = Card {
            number: order.number,
            label: label(&order.frame),
            tray: shortened::<TRAY_BYTES>(order.tray.as_deref().unwrap_or_default()),
            due: order.due.and_then(days_from_2000),
            eyes: Eye::BOTH.map(|eye| order.expected(eye)),
            prescribed: Eye::BOTH.map(|eye| order.verify(eye).map(|_| order.eye(eye).power)),
            thinning: order.thinning(tolerances.progressive()),
            pd: order.pd(),
            heights: order.heights,
            rim: order.frame.rim,
            design: order.lens.design,
            advice: told.advice.clone(),
            filed: Vec::from_slice(filed).unwrap_or_default(),
            ..Card::blank(id)
        };
        let limits = Limits::of(&tolerances.table(), card.design, &card.order());
        let progress = |state: &JobState| {
            let look = limits.pair(&card.order(), &state.measured());
            let good = matches!(look, Look::Within | Look::NotCovered) && job.found_bad_in(state).is_none();
            match state.progress(job.wanted(), tolerances.flow()) {
                // What is out, found bad, or not judged yet, is no work that is done.
                Progress::Done if !good => Progress::InWork,
                progress => progress,
            }
        };
        let shown = |state: &JobState| Showing {
            done: progress(state) == Progress::Done,
            ends: ends(state).filter(|_| told.advice.is_some()),
        };
        let (Snapshot { state, includes_upto, until, .. }, revision) =
            self.snapshot(id, &job.lines, told.position, shown)?;
        card.progress = progress(&job.state);
        (card.limits, card.revision, card.includes_upto, card.state) =
            (Some(limits), revision, includes_upto, state);
        Ok((card, until))
    }

    /// Whether a job that was opened at this keypad and has no order has a card. It has none as long as the keypad knows
    /// of the job all that the book does: nobody else wrote about it.
    pub(super) fn wants_card(&self, job: &Unfiled) -> bool {
        let own = |line: &Line| self.wrote(line);
        job.lines.iter().any(own) && !job.lines.iter().all(own)
    }

    fn card_of_own(&self, job: &Unfiled) -> Result<(Card, u32), WorkError> {
        let (Snapshot { state, includes_upto, until, .. }, revision) =
            self.snapshot(job.id, &job.lines, 0, |_| Showing::default())?;
        let card =
            Card { gone: job.void, rim: job.rim, revision, includes_upto, state, ..Card::blank(job.id) };
        Ok((card, until))
    }
}

/// How the lenses of a pair of which one waits for its size came to their ends, if they did.
fn ends(state: &JobState) -> Option<[(u8, Option<Size>, bool); 2]> {
    let of = |eye| (state.lens(eye).number, &state.lens(eye).sizing);
    let waits = Eye::BOTH.map(of).iter().any(|(_, sizing)| sizing.goes_on());
    waits.then(|| Eye::BOTH.map(of).map(|(number, sizing)| (number, sizing.fits, sizing.is_scrap())))
}

/// A day as a card has it; none that it has no room for.
fn days_from_2000(day: Date) -> Option<u16> {
    let days = (day - date(2000, 1, 1)).get_days();
    u16::try_from(days).ok()
}

/// Model and size; a long model is cut so that the size stays.
fn label(frame: &Frame) -> String<LABEL_BYTES> {
    let size = frame.label().replace('□', "/");
    let room = LABEL_BYTES.saturating_sub(size.len() + 1);
    let model: std::string::String = frame.model.trim().chars().take(room).collect();
    shortened(&format!("{} {size}", model.trim_end()))
}

/// What a small display can show: what is not ASCII becomes a question mark, what is too long is cut.
fn shortened<const N: usize>(text: &str) -> String<N> {
    let plain = |letter: char| if letter.is_ascii() && !letter.is_ascii_control() { letter } else { '?' };
    let mut short = String::new();
    for letter in text.chars().map(plain).take(N) {
        // One byte each, as many as fit.
        let _ = short.push(letter);
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::Settings;
    use crate::work::Work;
    use bevelbook_core::frame::PupillaryDistance;
    use bevelbook_core::record::{
        Bench, CentreDistance, Check, CheckItem, Entered, JournalId, PairId, Pass, Read, Reading, Stage,
        Subject,
    };
    use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome};
    use bevelbook_core::units::{Length, PrismPair};

    /// All that is asked of a pair that fits, read as ordered, its centres so far apart.
    fn all_logged(pair: PairId, job: &Job, pd: PupillaryDistance) -> std::vec::Vec<Bench> {
        let entered = Entered::READ;
        let check = |of, item| Bench::Check(Check { entered, of, item, good: true });
        let mut facts = std::vec::Vec::new();
        for eye in Eye::BOTH {
            let (lens, order) = (pair.lens(eye), job.order.expected(eye));
            let read = Read::Direct(order.power);
            let reading = |stage| {
                Bench::Reading(Reading {
                    entered,
                    lens,
                    stage,
                    read,
                    prism: Some(PrismPair::NONE),
                    add: order.add,
                })
            };
            facts.push(reading(Stage::Uncut));
            facts.push(reading(Stage::Mounted));
            facts.extend(CheckItem::FINISH.map(|item| check(Subject::Lens(lens), item)));
        }
        facts.push(Bench::CentreDistance(CentreDistance { entered, pair, centres: pd, heights: None }));
        facts.push(check(Subject::Pair(pair), CheckItem::Alignment));
        facts
    }

    #[test]
    fn a_pair_of_which_all_is_logged_is_done_only_where_it_is_within() {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        let (job, _) = work.open_job(crate::desk::sample(), None).unwrap();
        let (basis, counting, amount) = (Basis::Diameter, Counting::Absolute, Length::from_milli(200));
        let dialled = Dialled { basis, counting, amount };
        let fits =
            |lens| Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::Fits, past: false });
        for eye in Eye::BOTH {
            work.log_lens(job.id, eye, fits).unwrap();
        }
        let mut progress = |pd: PupillaryDistance, holds| {
            let tested = |pair: PairId| {
                let (of, item) = (Subject::Lens(pair.lens(Eye::Right)), CheckItem::ImpactTested);
                Bench::Check(Check { entered: Entered::READ, of, item, good: holds })
            };
            work.log_all(job.id, |pair| [all_logged(pair, &job, pd), vec![tested(pair)]].concat()).unwrap();
            let ring = Ring::of(&work, JournalId(9), 0).unwrap();
            ring.card_of(&work.whose(job.id).unwrap(), &mut ByBook::default()).unwrap().unwrap().0.progress
        };
        let ordered = job.order.pd();
        assert_eq!(progress(ordered, true), Progress::Done);
        let off = PupillaryDistance::Binocular(ordered.total() + Length::from_milli(6000));
        assert_eq!(progress(off, true), Progress::InWork);
        assert_eq!(progress(ordered, false), Progress::InWork, "its drop ball was bad");
    }

    #[test]
    fn a_card_tells_the_job_and_no_person() {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        let (job, _) = work.open_job(crate::desk::sample(), Some("Ada Wolff")).unwrap();
        let card = |work: &Work| {
            let ring = Ring::of(work, JournalId(9), 0).unwrap();
            ring.card_of(&work.whose(job.id).unwrap(), &mut ByBook::default()).unwrap().map(|(card, _)| card)
        };
        let whole = card(&work).unwrap();
        assert_eq!((whole.label.as_str(), whole.tray.as_str(), whole.number), ("Lindgren 7 50/18", "4", 1));
        let bytes = whole.encode();
        for secret in ["Ada", "Wolff", "K-17"] {
            assert!(!bytes.windows(secret.len()).any(|part| part == secret.as_bytes()), "{secret}");
        }
        work.close(job.id, "cancelled", Some("moved away")).unwrap();
        assert!(card(&work).is_none());
    }

    #[test]
    fn a_long_model_is_cut_and_its_size_stays() {
        let mut frame = crate::desk::sample().frame;
        frame.model = "Ødegård extra large and wide".into();
        let label = label(&frame);
        assert_eq!(label.as_str(), "?deg?rd extra larg 50/18");
        frame.model = "A".repeat(40);
        assert!(super::label(&frame).ends_with(" 50/18"));
    }
}
