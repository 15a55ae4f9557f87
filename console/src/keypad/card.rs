//! The cards of open jobs for one keypad, from the book as it is now.
//!
//! A card holds no person's name: a job is known by its number, its tray and its frame.

use super::snapshot::{Ring, Snapshot};
use crate::desk::Frame;
use crate::work::{Job, Line, Unfiled, Whose, WorkError};
use bevelbook_core::link::{Card, FILED, LABEL_BYTES, TRAY_BYTES};
use bevelbook_core::prescription::Eye;
use bevelbook_core::tolerance::Limits;
use heapless::{String, Vec};
use jiff::civil::{Date, date};

impl Ring<'_> {
    /// The card of a job; none when it wants none.
    ///
    /// # Errors
    /// The book cannot be read.
    pub(super) fn card_of(&self, whose: &Whose) -> Result<Option<Card>, WorkError> {
        match whose {
            Whose::Ordered(job) if job.closed.is_none() => self.card(job).map(Some),
            Whose::Own(own) if self.wants_card(own) => self.card_of_own(own).map(Some),
            _ => Ok(None),
        }
    }

    fn card(&self, job: &Job) -> Result<Card, WorkError> {
        let id = job.id;
        let Snapshot { state, includes_upto, revision } = Snapshot::of(id, &job.lines, &job.state, self)?;
        let order = &job.order;
        // The latest, where a card has no room for all.
        let filed = &job.filed[job.filed.len().saturating_sub(FILED)..];
        let tolerances = self.work.settings().tolerances()?;
        let mut card = Card {
            job: id,
            number: order.number,
            revision,
            label: label(&order.frame),
            tray: shortened::<TRAY_BYTES>(order.tray.as_deref().unwrap_or_default()),
            gone: false,
            due: order.due.and_then(days_from_2000),
            progress: job.state.progress(job.wanted(), tolerances.flow()),
            eyes: Eye::BOTH.map(|eye| order.expected(eye)),
            prescribed: Eye::BOTH.map(|eye| order.verify(eye).map(|_| order.eye(eye).power)),
            thinning: order.thinning(tolerances.progressive()),
            pd: order.pd(),
            heights: order.heights,
            rim: order.frame.rim,
            design: order.lens.design,
            limits: None,
            filed: Vec::from_slice(filed).unwrap_or_default(),
            includes_upto,
            state,
        };
        card.limits = Some(Limits::of(&tolerances.table(), card.design, &card.order()));
        Ok(card)
    }

    /// Whether a job that was opened at this keypad and has no order has a card. It has none as long as the keypad knows
    /// of the job all that the book does: nobody else wrote about it.
    pub(super) fn wants_card(&self, job: &Unfiled) -> bool {
        let own = |line: &Line| self.wrote(line);
        job.lines.iter().any(own) && !job.lines.iter().all(own)
    }

    fn card_of_own(&self, job: &Unfiled) -> Result<Card, WorkError> {
        let Snapshot { state, includes_upto, revision } = Snapshot::of(job.id, &job.lines, &job.state, self)?;
        Ok(Card { gone: job.void, rim: job.rim, revision, includes_upto, state, ..Card::blank(job.id) })
    }
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
    use bevelbook_core::record::JournalId;

    #[test]
    fn a_card_tells_the_job_and_no_person() {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(&folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        let (job, _) = work.open_job(crate::desk::sample(), Some("Ada Wolff")).unwrap();
        let card = |work: &Work| {
            let ring = Ring::of(work, JournalId(9), 0).unwrap();
            ring.card_of(&work.whose(job.id).unwrap()).unwrap()
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
