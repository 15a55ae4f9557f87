//! `bench` on a full screen: the pair in hand, the line to the keypad, and a keypad in this terminal.
//!
//! State, then picture: [`shown`] is all that stands there, as data, and what keys mean to it; [`draw`] lays it out; [`desk`]
//! makes the pair from the book whenever anybody wrote, and [`behind`] has whatever may wait for a server on a thread of its own.
//! This file takes keys, has the keypad in this terminal, and keeps the terminal.
//!
//! With a keypad on a port, one in this terminal can be opened beside it (k), on a memory of its own: whatever is logged at a
//! bench can so be logged by keys, in the same steps and under the same guard, as from any second keypad.

mod behind;
mod desk;
mod draw;
mod gauge;
mod links;
mod pair;
mod shown;
#[cfg(test)]
mod tests;

use super::at_port::AtPort;
use super::beside::Beside;
use crate::cli::paint::{Paint, Tone, fits};
use crate::cli::picture::{Next, Picture};
use crate::cli::{Failure, Report};
use crate::keypad::{BenchBook, Clock, PipeEnd, Software};
use crate::work::Work;
use behind::{Ask, Back, Behind, Turned};
use crossterm::event::KeyEvent;
use desk::Desk;
use draw::{LEAST, draw};
use pair::Pair;
use shown::{Act, Mode, Shown};
use std::sync::atomic::{AtomicBool, Ordering};

/// A keypad in this terminal, its end of the line, and the bench at the other.
pub(super) struct Here {
    pub(super) keypad: Software,
    pub(super) line: PipeEnd,
    pub(super) beside: Beside,
}

/// Starts a keypad in this terminal.
pub(super) type Start<'s> = dyn Fn() -> Result<Here, Failure> + 's;

/// All that moves.
pub(super) struct Screen<'s> {
    behind: Behind,
    keypad: Option<(Software, PipeEnd)>,
    start: &'s Start<'s>,
    shown: Shown,
    /// Whether a new keypad on the port becomes the shop's without asking; once a person said no, none does.
    add: Add,
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
        let behind = Behind::start(Back { port, beside: None, desk, clock });
        let mut screen = Self { behind, keypad: None, start, shown, add };
        here.into_iter().for_each(|here| screen.take(here));
        let found = screen.keypad.as_ref().and_then(|(keypad, _)| keypad.found()).map(str::to_owned);
        found.into_iter().for_each(|found| screen.shown.say(Tone::Look, found));
        Ok(screen)
    }

    /// There is a keypad in this terminal.
    fn take(&mut self, Here { keypad, line, beside }: Here) {
        self.keypad = Some((keypad, line));
        self.behind.want(Ask::Here(Box::new(beside)));
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
        self.pump();
        let in_hand = self.keypad.as_ref().and_then(|(keypad, _)| keypad.in_hand());
        match self.behind.turn(in_hand)? {
            Some(turned) => self.show(turned),
            None => self.behind.waits().into_iter().for_each(|waits| self.shown.links = vec![waits]),
        }
        self.pump();
        let rows = |keypad: &Software| keypad.screen().rows().map(str::to_owned).collect();
        self.shown.keypad = self.keypad.as_ref().map(|(keypad, _)| rows(keypad));
        Ok(())
    }

    fn pump(&mut self) {
        // A pipe in this process does not fail.
        self.keypad.iter_mut().for_each(|(keypad, line)| drop(keypad.pump(line)));
    }

    fn show(&mut self, Turned { links, notes, said, pair, aside, new }: Turned) {
        let shown = &mut self.shown;
        notes.iter().for_each(|note| shown.note(note));
        said.into_iter().for_each(|said| shown.say(said.tone, said.text));
        (shown.links, shown.pair, shown.aside) = (links, pair, aside);
        match new {
            // It was answered meanwhile.
            _ if self.behind.is_wanted() => {}
            Some(name) if self.add == Add::Yes => self.behind.want(Ask::Add(name)),
            Some(name) if self.add == Add::Ask && shown.mode == Mode::Watch => shown.mode = Mode::Add(name),
            None if matches!(shown.mode, Mode::Add(_)) => shown.mode = Mode::Watch,
            _ => {}
        }
    }

    /// Does what a key asks for; whether that is the end.
    fn key(&mut self, key: KeyEvent, seen: bool) -> bool {
        match self.shown.key(key, seen) {
            Act::End => return true,
            Act::Nothing => {}
            Act::Press(press) => self.keypad.iter_mut().for_each(|(keypad, _)| keypad.press(press)),
            Act::Keypad => match (self.start)() {
                Ok(here) => self.take(here),
                Err(failure) => self.shown.say(Tone::Bad, failure.text()),
            },
            Act::Add(name) => self.behind.want(Ask::Add(name)),
            Act::Refuse => {
                self.add = Add::No;
                self.shown.say(Tone::Look, "the new keypad was not added; nothing is taken in from it");
            }
            Act::Undo(record, says) => self.behind.want(Ask::Undo(record, says)),
            Act::Look(further) => self.behind.want(Ask::Look(further)),
            Act::InHand => self.behind.want(Ask::InHand),
        }
        false
    }
}
