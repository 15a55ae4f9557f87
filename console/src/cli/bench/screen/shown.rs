//! All that the screen shows, as data, and what a key means to it.

use super::pair::Pair;
use crate::cli::keypad::Meant;
use crate::cli::paint::{Said, Tone};
use crate::keypad::Note;
use bevelbook_core::record::RecordId;
use bevelbook_keypad::keys::Press;
use crossterm::event::{KeyCode, KeyEvent, KeyEventKind};
use std::collections::VecDeque;

/// How many lines of what came in are kept.
const KEPT: usize = 200;

/// What the screen shows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Shown {
    /// How each line to a keypad stands.
    pub(super) links: Vec<Said>,
    pub(super) pair: Pair,
    /// The rows of the keypad in this terminal, if there is one.
    pub(super) keypad: Option<Vec<String>>,
    /// What came in, oldest first.
    pub(super) came: VecDeque<Said>,
    pub(super) mode: Mode,
    /// Whether another job is looked at than the one in hand.
    pub(super) aside: bool,
}

/// What the next key answers.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Mode {
    /// Nothing in particular.
    Watch,
    /// The keys are explained.
    Help,
    /// Whether a new keypad becomes the shop's, under this name.
    Add(String),
    /// Whether this record is undone, and what it says.
    Undo(RecordId, String),
}

/// What is to be done for a key.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Act {
    Nothing,
    End,
    /// The keypad in this terminal is pressed.
    Press(Press),
    /// A keypad in this terminal is wanted.
    Keypad,
    /// The new keypad becomes the shop's under this name, or stays away.
    Add(String),
    Refuse,
    Undo(RecordId, String),
    /// Another open job is looked at, so many further on.
    Look(isize),
    /// Back to the job in hand.
    InHand,
}

impl Shown {
    pub(super) fn of(pair: Pair) -> Self {
        let (links, keypad, came) = (Vec::new(), None, VecDeque::new());
        Self { links, pair, keypad, came, mode: Mode::Watch, aside: false }
    }

    pub(super) fn say(&mut self, tone: Tone, text: impl Into<String>) {
        self.came.push_back(Said::new(tone, text));
        if self.came.len() > KEPT {
            self.came.pop_front();
        }
    }

    pub(super) fn note(&mut self, note: &Note) {
        let tone = match note {
            Note::Gap { .. } | Note::Conflict { .. } | Note::KeptApart { .. } | Note::RolledBack { .. } => {
                Tone::Bad
            }
            Note::BookFailed { .. } | Note::NoBackup { .. } | Note::OtherProtocol { .. } => Tone::Bad,
            Note::ServerAway { .. } => Tone::Bad,
            Note::BookOpen | Note::ServerBack { .. } => Tone::Good,
            Note::Waiting { .. } | Note::UnknownKeypad { .. } | Note::NoRoom { .. } => Tone::Look,
            Note::JobNotTaken { .. } | Note::Refused { .. } | Note::HeldBack { .. } => Tone::Look,
            _ => Tone::Plain,
        };
        self.say(tone, note.to_string());
    }

    /// What a key asks for. Where the terminal is too small for what it answers to be seen, only the end is.
    pub(super) fn key(&mut self, key: KeyEvent, seen: bool) -> Act {
        let meant = crate::cli::keypad::meant(key);
        match (meant, &self.mode) {
            _ if key.kind == KeyEventKind::Release => Act::Nothing,
            (Meant::Quit, _) => Act::End,
            _ if !seen => Act::Nothing,
            (_, Mode::Help) => self.back(Act::Nothing),
            (Meant::Yes, Mode::Add(name)) => {
                let name = name.clone();
                self.back(Act::Add(name))
            }
            (Meant::No, Mode::Add(_)) => self.back(Act::Refuse),
            (Meant::Yes, Mode::Undo(record, says)) => {
                let undo = Act::Undo(*record, says.clone());
                self.back(undo)
            }
            (Meant::No, Mode::Undo(..)) => self.back(Act::Nothing),
            (_, Mode::Add(_) | Mode::Undo(..)) => Act::Nothing,
            (Meant::Press(press), Mode::Watch) if self.keypad.is_some() => Act::Press(press),
            (_, Mode::Watch) => self.own_key(key.code),
        }
    }

    fn own_key(&mut self, code: KeyCode) -> Act {
        match code {
            KeyCode::Char('?') => self.mode = Mode::Help,
            KeyCode::Char('u') => match self.pair.last.clone() {
                Some((record, says)) => self.mode = Mode::Undo(record, says),
                None => self.say(Tone::Plain, "nothing was logged of this pair: nothing to undo"),
            },
            KeyCode::Char('k') if self.keypad.is_none() => return Act::Keypad,
            KeyCode::Tab => return Act::Look(1),
            KeyCode::BackTab => return Act::Look(-1),
            KeyCode::Esc => return Act::InHand,
            _ => {}
        }
        Act::Nothing
    }

    fn back(&mut self, act: Act) -> Act {
        self.mode = Mode::Watch;
        act
    }

    /// What the last row asks, if it does.
    pub(super) fn question(&self) -> Option<String> {
        match &self.mode {
            Mode::Add(name) => Some(format!("new keypad; add it as {name}?")),
            Mode::Undo(_, says) => Some(format!("undo {says}?")),
            Mode::Watch | Mode::Help => None,
        }
    }

    /// The keys that matter now, those that matter most first.
    pub(super) const fn keys(&self) -> &'static [&'static str] {
        match (&self.mode, &self.keypad) {
            (Mode::Help, _) => &["any key goes back"],
            (Mode::Add(_) | Mode::Undo(..), _) => &["y yes", "n no"],
            (Mode::Watch, _) if self.aside => {
                &["? keys", "q end", "Esc: pair in hand", "Tab: next job", "u undo"]
            }
            (Mode::Watch, Some(_)) => {
                &["? keys", "q end", "arrows, Enter: keypad", "u undo", "Tab: other jobs"]
            }
            (Mode::Watch, None) => {
                &["? keys", "q end", "k: keypad on this screen", "u undo", "Tab: other jobs"]
            }
        }
    }
}

/// Every key and what it does, in rows of at most 58 columns.
pub(super) const KEYS: [(&str, &str); 9] = [
    ("arrows, Enter", "the keys of the keypad on this screen"),
    ("Shift + arrow", "hold that key; U D L R C do so too"),
    ("k", "open a keypad here, beside that on the port"),
    ("u", "undo what was logged last of this pair"),
    ("Tab", "the next open job; Shift+Tab the one before"),
    ("Esc", "back to the pair in hand"),
    ("y, n", "answer what the last row asks"),
    ("?", "these keys"),
    ("q, Ctrl-C", "end; a keypad keeps what it logs meanwhile"),
];
