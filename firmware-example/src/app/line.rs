//! The line of steps: what stands there next, and what a press on it records.

use super::App;
use super::LOCK_OUT_MS;
use super::centres::CentresEntry;
use super::entry::Entry;
use super::finding;
use super::job::{self, Answered, OpenJob};
use super::mark;
use super::reading::ReadingEntry;
use super::sizing::{Sized, SizingEntry};
use super::view::View;
use super::words;
use crate::keys::Key;
use crate::memory::Pages;
use crate::screen::{Body, Tone};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, Check, CheckItem, Entered, Flow, NewLens, STEPS, Spoilage, Stage, Step, Subject,
};
use bevelbook_core::sizing::{Dial, Habit, Outcome};
use heapless::Vec;

impl<P: Pages> App<P> {
    /// The step that stands there: the next outstanding one that is not skipped.
    pub(super) fn step_of(&self, job: &OpenJob) -> Step {
        self.outstanding(job).into_iter().find(|step| !self.skipped.contains(step)).unwrap_or(Step::Done)
    }

    /// All that is left to do, skipped or not.
    pub(super) fn outstanding(&self, job: &OpenJob) -> Vec<Step, STEPS> {
        job.state().outstanding(job.wanted(), self.flow())
    }

    /// How the shop goes along the line.
    pub(super) fn flow(&self) -> Flow {
        self.memory.station().map_or(Flow::COMMON, |station| station.flow)
    }

    /// Shows the next step of the job in hand.
    #[inline(never)]
    pub(super) fn enter(&mut self) -> Answered {
        self.begin_step()?;
        self.back()
    }

    /// Shows the step that stands there, with what is entered so far.
    pub(super) fn back(&mut self) -> Answered {
        if self.job.is_none() {
            return self.choose_job();
        }
        self.show_step();
        Ok(())
    }

    /// Apart: a list of jobs, which is made instead, needs the stack.
    #[inline(never)]
    fn show_step(&mut self) {
        self.view = self.other_dial().map_or(View::Step, |said| View::Notice(said, Tone::Warning));
    }

    /// What stops a size that is about to show while its lens is in work: it reads otherwise than the one before. Told
    /// once.
    fn other_dial(&mut self) -> Option<Body> {
        let (Entry::Sizing(SizingEntry { eye, dial, .. }), Some(job)) = (&self.entry, &self.job) else {
            return None;
        };
        let last = job.state().lens(*eye).sizing.size.map(|(basis, _)| Dial { basis, ..*dial });
        let before = self.read_by.replace(*dial).or(last)?;
        let same = before.basis == dial.basis && before.takes_off() == dial.takes_off();
        (last.is_some() && !same).then(|| words::other_dial(dial))
    }

    /// Whether a lens is being ground or read that is not due.
    pub(super) fn is_beside_the_line(&self) -> bool {
        let Some(job) = &self.job else { return false };
        let step = self.step_of(job);
        match &self.entry {
            Entry::Sizing(SizingEntry { eye, .. }) | Entry::NoDial(eye) => step != Step::Size(*eye),
            Entry::Reading(_) => !matches!(step, Step::ReadUncut(_) | Step::ReadMounted(_)),
            Entry::Centres(_) => step != Step::Centres,
            _ => false,
        }
    }

    /// Begins the next step of the job in hand, whatever shows.
    #[inline(never)]
    pub(super) fn begin_step(&mut self) -> Answered {
        let Some(job) = &self.job else { return Ok(()) };
        self.entry = match self.step_of(job) {
            Step::Size(eye) => return self.begin_sizing(eye),
            Step::ReadUncut(eye) => Entry::Reading(ReadingEntry::new(job, eye, Stage::Uncut, self.flow())),
            Step::ReadMounted(eye) => {
                Entry::Reading(ReadingEntry::new(job, eye, Stage::Mounted, self.flow()))
            }
            Step::Mark(eye) => Entry::Mark(eye),
            Step::Remake(eye) => Entry::Remake(eye),
            Step::Centres => Entry::Centres(CentresEntry::new(job)),
            Step::CheckLens(eye, item) => Entry::CheckLens(eye, item),
            Step::CheckPair(item) => Entry::CheckPair(item),
            Step::Done => Entry::Done,
        };
        Ok(())
    }

    /// Begins the sizing of one eye, also of a lens that fits: there the guard stands.
    #[inline(never)]
    pub(super) fn begin_sizing(&mut self, eye: Eye) -> Answered {
        let Some(job) = &self.job else { return Ok(()) };
        self.entry = match job::dial(&mut self.memory)? {
            Some(dial) => {
                let habit = self.memory.station().map_or(Habit::COMMON, |station| station.habit);
                Entry::Sizing(SizingEntry::new(job, eye, dial, &habit))
            }
            None => Entry::NoDial(eye),
        };
        Ok(())
    }

    /// Begins a reading of a lens that need not be read; one that stays in the frame is read there.
    pub(super) fn begin_reading(&mut self, eye: Eye) {
        let Some(job) = &self.job else { return };
        let mounted = job.state().lens(eye).sizing.passes > 0 || !job.ordered(eye).wanted.is_made();
        let stage = if mounted { Stage::Mounted } else { Stage::Uncut };
        self.entry = Entry::Reading(ReadingEntry::new(job, eye, stage, self.flow()));
    }

    /// A short press on a step.
    #[inline(never)]
    pub(super) fn press_step(&mut self, key: Key, now_ms: u64) -> Answered {
        let Some(job) = &self.job else { return Ok(()) };
        let pair = job.state().pair;
        match &mut self.entry {
            Entry::Reading(reading) => {
                let lens = pair.lens(reading.eye);
                reading.press(key, lens).map_or(Ok(()), |reading| self.save_reading(reading, now_ms))
            }
            Entry::Sizing(sizing) => {
                let sized = sizing.press(key, job);
                self.sized(sized, now_ms)
            }
            Entry::Centres(centres) => {
                centres.press(key, pair).map_or(Ok(()), |distance| self.save_centres(distance, now_ms))
            }
            Entry::Mark(eye) if key == Key::Centre => {
                let mark = mark::of(job, *eye);
                self.record(&Bench::Mark(mark), now_ms).map(drop)
            }
            Entry::Remake(eye) if key == Key::Centre => {
                self.locked_until_ms = now_ms + LOCK_OUT_MS;
                self.view = View::Remake { eye: *eye, selected: words::WHY_UNDERSIZE };
                Ok(())
            }
            Entry::NoDial(_) if key == Key::Centre => self.state_dial(),
            Entry::CheckLens(eye, item) => {
                let (of, item) = (Subject::Lens(pair.lens(*eye)), *item);
                self.check(of, item, key, now_ms)
            }
            Entry::CheckPair(item) => {
                let item = *item;
                self.check(Subject::Pair(pair), item, key, now_ms)
            }
            Entry::Done => match finding::again_at_the_end(job) {
                Some(again) if key != Key::Centre => self.press_off(key, again),
                _ if key == Key::Centre => self.choose_job(),
                _ => Ok(()),
            },
            Entry::Mark(_) | Entry::Remake(_) | Entry::NoDial(_) => Ok(()),
        }
    }

    #[inline(never)]
    fn check(&mut self, of: Subject, item: CheckItem, key: Key, now_ms: u64) -> Answered {
        let good = match key {
            Key::Centre => true,
            Key::Down => false,
            Key::Right if item != CheckItem::Bevel => return self.all_good(now_ms),
            _ => return Ok(()),
        };
        if !self.record(&Bench::Check(Check { entered: Entered::READ, of, item, good }), now_ms)? || good {
            return Ok(());
        }
        let title = "NOT GOOD";
        let said = match item {
            CheckItem::Strain => Body::message(title, "sizing is open again\nfor this lens"),
            item => {
                let item = item.short();
                let said = format_args!("{item}\nis noted as bad;\nmake it right, then\nsay good");
                Body::message(title, said)
            }
        };
        self.view = View::Notice(said, Tone::Warning);
        Ok(())
    }

    /// All that is left to be looked at is good: a record of each, which says that it was accepted along with others. What
    /// comes behind the bevel is looked at last, so that nothing but checks is left.
    #[inline(never)]
    fn all_good(&mut self, now_ms: u64) -> Answered {
        while let Some(job) = &self.job {
            let pair = job.state().pair;
            let (of, item) = match self.step_of(job) {
                Step::CheckLens(eye, item) => (Subject::Lens(pair.lens(eye)), item),
                Step::CheckPair(item) => (Subject::Pair(pair), item),
                _ => break,
            };
            let entered = Entered::PRESET;
            if !self.record(&Bench::Check(Check { entered, of, item, good: true }), now_ms)? {
                break;
            }
        }
        Ok(())
    }

    /// The lens of an eye is spoiled, for the chosen cause, and the eye goes on with a new one; or it is not.
    #[inline(never)]
    pub(super) fn spoil(&mut self, eye: Eye, why: usize, now_ms: u64) -> Answered {
        let (Some(cause), Some(job)) = (words::cause(why), &self.job) else { return self.back() };
        let mut lens = job.state().pair.lens(eye);
        let Some(number) = lens.number.checked_add(1) else { return self.back() };
        if !self.save(&Bench::Spoiled(Spoilage { lens, cause }), now_ms)? {
            return Ok(());
        }
        lens.number = number;
        // What was passed over for the spoiled lens is asked again for the new one.
        self.skipped.clear();
        self.record(&Bench::NewLens(NewLens { lens }), now_ms).map(drop)
    }

    /// The pass at the size that stands there was broken off.
    #[inline(never)]
    pub(super) fn broken_off(&mut self, now_ms: u64) -> Answered {
        let (Entry::Sizing(sizing), Some(job)) = (&self.entry, &self.job) else { return Ok(()) };
        let sized = sizing.pass(Outcome::Abandoned, job);
        self.sized(sized, now_ms)
    }

    #[inline(never)]
    fn sized(&mut self, sized: Sized, now_ms: u64) -> Answered {
        match sized {
            Sized::Going => {}
            Sized::Pass(pass) => return self.record(&Bench::Pass(pass), now_ms).map(drop),
            Sized::Refused(refusal) => self.view = View::Guard(refusal),
        }
        Ok(())
    }

    /// The guard is insisted past.
    #[inline(never)]
    pub(super) fn insist(&mut self) -> Answered {
        if let Entry::Sizing(entry) = &mut self.entry {
            entry.insist();
        }
        self.back()
    }

    /// Saves a fact and shows the next step. Whether it was saved.
    pub(super) fn record(&mut self, fact: &Bench, now_ms: u64) -> Answered<bool> {
        let saved = self.save(fact, now_ms)?;
        if saved {
            self.locked_until_ms = now_ms + LOCK_OUT_MS;
            self.enter()?;
        }
        Ok(saved)
    }

    /// Passes over the step that stands there, for as long as this job is in hand. A lens that is ground although it is
    /// not due is left alone.
    pub(super) fn skip(&mut self) -> Answered {
        if let Some(step) = self.job.as_ref().map(|job| self.step_of(job))
            && step != Step::Done
            && !self.is_beside_the_line()
        {
            // There is room for every step there is.
            let _ = self.skipped.push(step);
        }
        self.enter()
    }
}
