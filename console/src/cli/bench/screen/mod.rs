//! `bench` on a full screen: the pair in hand, the line to the keypad, and a keypad in this terminal.
//!
//! State, then picture: [`shown`] is all that stands there, as data, and what keys mean to it; [`draw`] lays it out; [`desk`]
//! makes the pair from the book whenever anybody wrote. This file moves bytes, takes keys and keeps the terminal.
//!
//! With a keypad on a port, one in this terminal can be opened beside it (k), on a memory of its own: whatever is logged at a
//! bench can so be logged by keys, in the same steps and under the same guard, as from any second keypad.

mod desk;
mod draw;
mod gauge;
mod pair;
mod shown;
#[cfg(test)]
mod tests;

use super::at_port::AtPort;
use super::beside::Beside;
use super::offered::offered;
use crate::cli::paint::{Paint, Said, Tone, fits};
use crate::cli::picture::{Next, Picture};
use crate::cli::{Failure, Report};
use crate::keypad::{Bench, BenchBook, Clock, Link, Note, Software, since_words};
use crate::work::Work;
use bevelbook_core::record::JobId;
use crossterm::event::KeyEvent;
use desk::Desk;
use draw::{LEAST, draw};
use pair::Pair;
use shown::{Act, Mode, Shown};
use std::sync::atomic::{AtomicBool, Ordering};

/// A keypad in this terminal.
pub(super) struct Here {
    pub(super) keypad: Software,
    pub(super) beside: Beside,
}

/// Starts a keypad in this terminal.
pub(super) type Start<'s> = dyn Fn() -> Result<Here, Failure> + 's;

/// All that moves.
pub(super) struct Screen<'s> {
    port: Option<AtPort>,
    here: Option<Here>,
    start: &'s Start<'s>,
    desk: Desk,
    shown: Shown,
    /// Whether a new keypad on the port becomes the shop's without asking; once a person said no, none does.
    add: Add,
    clock: Clock,
}

#[derive(PartialEq)]
enum Add {
    Yes,
    Ask,
    No,
}

impl<'s> Screen<'s> {
    pub(super) fn new(
        port: Option<AtPort>,
        here: Option<Here>,
        start: &'s Start<'s>,
        place: <Work as BenchBook>::Place,
        yes: bool,
        clock: Clock,
    ) -> Result<Self, Failure> {
        let (desk, shown) = (Desk::new(place)?, Shown::of(Pair::default()));
        let add = if yes { Add::Yes } else { Add::Ask };
        let mut screen = Self { port, here, start, desk, shown, add, clock };
        let found = screen.here.as_ref().and_then(|here| here.keypad.found()).map(str::to_owned);
        found.into_iter().for_each(|found| screen.shown.say(Tone::Look, found));
        Ok(screen)
    }

    /// Until an end.
    pub(super) fn run(mut self, stop: &AtomicBool) -> Result<Report, Failure> {
        let paint = Paint::of_environment();
        let mut picture = Picture::take()?;
        while !stop.load(Ordering::Relaxed) {
            self.turn()?;
            let size = picture.show(&self.shown, |shown, buffer| draw(shown, paint, buffer))?;
            match picture.next() {
                Next::Key(key) if self.key(key, fits(size, LEAST)) => break,
                Next::Key(_) | Next::Nothing => {}
                Next::Gone => break,
            }
        }
        Ok(Report::default())
    }

    /// Moves what has come, and takes over what follows from it.
    fn turn(&mut self) -> Result<(), Failure> {
        let Self { port, here, shown, clock, .. } = self;
        let mut links = Vec::new();
        if let Some(at) = port {
            at.turn(*clock)?.iter().for_each(|waits| shown.note(waits));
            std::iter::from_fn(|| at.bench.take_note()).for_each(|note| shown.note(&note));
            let on = at.path().map_or(String::new(), |path| format!(" on {}", path.display()));
            links.push(link(at.bench.link(), &on));
        }
        if let Some(Here { keypad, beside }) = here {
            beside.turn(keypad, *clock);
            std::iter::from_fn(|| beside.take_note()).for_each(|note| shown.note(&note));
            links.push(match beside.bench.link() {
                // Beside a port there is little room, and in one process little to tell.
                Link::Connected { waiting: 0, .. } if port.is_some() => {
                    Said::new(Tone::Good, "● keypad here")
                }
                Link::Away { waiting: Some(waiting), .. } if port.is_some() => {
                    Said::new(Tone::Bad, format!("{waiting} here"))
                }
                stands => link(stands, " on this screen"),
            });
        }
        shown.links = links;
        shown.keypad = here.as_ref().map(|here| here.keypad.screen().rows().map(str::to_owned).collect());
        self.ask();
        let (in_hand, now) = (self.in_hand(), self.clock.now());
        self.desk.renew(&mut self.shown.pair, in_hand, at_bench(&self.here, &self.port), now);
        self.shown.aside = self.desk.is_aside();
        Ok(())
    }

    /// The job that is worked on.
    fn in_hand(&self) -> Option<JobId> {
        let here = self.here.as_ref().and_then(|here| here.keypad.in_hand().or(here.beside.bench.in_hand()));
        here.or(self.port.as_ref().and_then(|at| at.bench.in_hand()))
    }

    /// Asks whether a new keypad on the port becomes the shop's, as long as it is there.
    fn ask(&mut self) {
        let Some(at) = &mut self.port else { return };
        let now = self.clock.now();
        match (at.bench.asking().is_some(), &self.add) {
            (true, Add::Yes) => {
                let name = offered(&mut at.bench, now);
                name.iter().for_each(|name| at.bench.adopt(name, now));
            }
            (true, Add::Ask) if self.shown.mode == Mode::Watch => {
                self.shown.mode = offered(&mut at.bench, now).map_or(Mode::Watch, Mode::Add);
            }
            (false, _) if matches!(self.shown.mode, Mode::Add(_)) => self.shown.mode = Mode::Watch,
            _ => {}
        }
    }

    /// Does what a key asks for; whether that is the end.
    fn key(&mut self, key: KeyEvent, seen: bool) -> bool {
        let in_hand = self.in_hand();
        match self.shown.key(key, seen) {
            Act::End => return true,
            Act::Nothing => {}
            Act::Press(press) => self.here.iter_mut().for_each(|here| here.keypad.press(press)),
            Act::Keypad => match (self.start)() {
                Ok(here) => self.here = Some(here),
                Err(failure) => self.shown.say(Tone::Bad, failure.text()),
            },
            Act::Add(name) => {
                let now = self.clock.now();
                self.port.iter_mut().for_each(|at| at.bench.adopt(&name, now));
            }
            Act::Refuse => {
                self.add = Add::No;
                self.shown.say(Tone::Look, "the new keypad was not added; nothing is taken in from it");
            }
            Act::Undo(record, says) => match self.desk.undo(record) {
                Ok(()) => self.shown.say(Tone::Strong, format!("undone: {says}")),
                Err(why) => self.shown.say(Tone::Bad, why),
            },
            Act::Look(further) => self.desk.look(in_hand, Some(further)),
            Act::InHand => self.desk.look(in_hand, None),
        }
        false
    }
}

/// The bench of the keypad that is worked on.
fn at_bench<'b>(here: &'b Option<Here>, port: &'b Option<AtPort>) -> Option<&'b Bench> {
    let here = here.as_ref().map(|here| &here.beside.bench);
    here.or(port.as_ref().map(|at| &at.bench))
}

/// How a line stands, in words with a sign before them.
fn link(link: Link, on: &str) -> Said {
    match link {
        Link::Waiting => Said::new(Tone::Look, format!("○ waiting for keypad{on}")),
        Link::New => Said::new(Tone::Look, format!("○ new keypad{on}, not added")),
        Link::Connected { keypad, waiting } => {
            Said::new(Tone::Good, format!("● keypad {keypad}{on}: connected, {}", Note::waiting(waiting)))
        }
        Link::Opening => Said::new(Tone::Look, "○ opening the book"),
        Link::Away { since, waiting } => {
            let since = since_words(since);
            let waiting = waiting.map_or(String::new(), |records| match records {
                0 => ", nothing waiting on the keypad".into(),
                many => format!(", {many} waiting on the keypad"),
            });
            Said::new(Tone::Bad, format!("× server away since {since}{waiting}"))
        }
        Link::NoBook => Said::new(Tone::Bad, "× the book failed: nothing is taken in"),
    }
}
