//! A book on a server that is away for a while, or loses its answers.

use super::*;
use crate::work::{Held, Imported};
use bevelbook_core::record::Flow;
use bevelbook_core::sizing::Habit;
use std::cell::RefCell;
use std::rc::Rc;

/// A server and what it keeps.
#[derive(Debug, Default)]
struct Server {
    records: Vec<(JournalId, u32)>,
    /// It does not answer.
    away: bool,
    /// The next commit is answered by nothing; whether it was done.
    lost: Option<bool>,
    /// When it was asked to open, in milliseconds.
    asked: Vec<u64>,
    now_ms: u64,
}

/// A book on it.
#[derive(Debug)]
struct Remote(Rc<RefCell<Server>>);

#[derive(Debug)]
struct Refused(&'static str);

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.0)
    }
}

impl Remote {
    fn asked(&self) -> Result<std::cell::RefMut<'_, Server>, Refused> {
        let server = self.0.borrow_mut();
        if server.away { Err(Refused("no answer")) } else { Ok(server) }
    }

    fn last(&self, journal: JournalId) -> Result<Option<u32>, Refused> {
        let server = self.asked()?;
        Ok(server.records.iter().filter(|(of, _)| *of == journal).map(|(_, seq)| *seq).max())
    }
}

impl BenchBook for Remote {
    type Error = Refused;
    type Place = Rc<RefCell<Server>>;

    fn place(&self) -> Self::Place {
        Rc::clone(&self.0)
    }
    fn reopen(place: &Self::Place) -> Opening<Self> {
        let mut server = place.borrow_mut();
        let now_ms = server.now_ms;
        server.asked.push(now_ms);
        drop(server);
        let book = Self(Rc::clone(place));
        Opening::Done(book.asked().map(drop).map(|()| book))
    }
    fn away(error: &Refused) -> Option<&str> {
        Some(error.0)
    }
    fn note_choices(&mut self) -> Result<(), Refused> {
        self.asked().map(drop)
    }
    fn own_journal(&self) -> Result<JournalId, Refused> {
        self.asked().map(|_| JournalId(1))
    }
    fn version(&self) -> Result<i64, Refused> {
        self.asked().map(|_| 0)
    }
    fn name_of(&self, _: JournalId) -> Result<Option<String>, Refused> {
        self.asked().map(|_| Some("left".to_owned()))
    }
    fn adopt(&mut self, _: JournalId, _: &str) -> Result<Result<(), String>, Refused> {
        self.asked().map(|_| Ok(()))
    }
    fn held(&self, journal: JournalId) -> Result<Held, Refused> {
        Ok(Held { last: self.last(journal)?, gaps: Vec::new(), conflict: None })
    }
    fn dated(&self, _: JournalId) -> Result<Vec<(u32, u32, i64)>, Refused> {
        self.asked().map(|_| Vec::new())
    }
    fn take_in(
        &mut self,
        journal: JournalId,
        records: Vec<(Stored, Option<i64>)>,
    ) -> Result<Imported, Refused> {
        let last = self.last(journal)?.unwrap_or(0);
        let mut server = self.asked()?;
        let lost = server.lost.take();
        server.away = lost.is_some();
        if lost == Some(false) {
            return Err(Refused("no answer"));
        }
        let new: Vec<_> = records.iter().map(|(record, _)| record.seq).filter(|seq| *seq > last).collect();
        server.records.extend(new.iter().map(|seq| (journal, *seq)));
        let known = records.len() - new.len();
        match lost {
            Some(_) => Err(Refused("no answer")),
            None => Ok(Imported { new: new.len(), known, ..Imported::default() }),
        }
    }
    fn station_for(&self, _: JournalId) -> Result<Station, Refused> {
        let (habit, flow) = (Habit::COMMON, Flow::COMMON);
        self.asked().map(|_| Station { revision: 1, includes_upto: 0, dial: None, habit, flow })
    }
    fn refresh(&self, _: &mut OpenJobs, _: JournalId, _: usize) -> Result<(), Refused> {
        self.asked().map(drop)
    }
}

struct Line {
    server: Rc<RefCell<Server>>,
    bench: Bench<Remote>,
    keypad: KeypadSession,
    store: Store,
    near: PipeEnd,
    far: PipeEnd,
    ms: u64,
    notes: Vec<Note>,
}

impl Line {
    fn new(store: Store, away: bool) -> Self {
        let server = Rc::new(RefCell::new(Server { away, ..Server::default() }));
        let (near, far) = pipe();
        let bench = Bench::on(Shelf::at(Rc::clone(&server)), 7, Now { ms: 0, utc_ms: 1_000_000 });
        let keypad = KeypadSession::new("keypad", "1");
        Self { server, bench, keypad, store, near, far, ms: 0, notes: Vec::new() }
    }

    fn run(&mut self, ms: u64) {
        for _ in 0..ms / 10 {
            self.ms += 10;
            self.server.borrow_mut().now_ms = self.ms;
            pump(&mut self.near, &mut (&mut self.keypad, &mut self.store), self.ms).unwrap();
            self.bench.turn(&mut self.far, Now { ms: self.ms, utc_ms: 1_000_000 + self.ms as i64 }).unwrap();
            self.notes.extend(std::iter::from_fn(|| self.bench.take_note()));
        }
    }

    fn away(&self, away: bool) {
        self.server.borrow_mut().away = away;
    }

    fn log(&mut self, many: u32) {
        (0..many).for_each(|_| self.store.log(StationEvent::NewWheel));
    }

    /// How long it was away, in milliseconds, with the number that came in, of each time that it was told to be back.
    fn backs(&self) -> Vec<u32> {
        let back =
            |note: &Note| if let Note::ServerBack { records, .. } = note { Some(*records) } else { None };
        self.notes.iter().filter_map(back).collect()
    }

    fn aways(&self) -> Vec<Option<u32>> {
        let away =
            |note: &Note| if let Note::ServerAway { waiting, .. } = note { Some(*waiting) } else { None };
        self.notes.iter().filter_map(away).collect()
    }

    fn in_book(&self) -> Vec<u32> {
        self.server.borrow().records.iter().map(|(_, seq)| *seq).collect()
    }
}

#[test]
fn while_the_server_is_away_the_keypad_is_held_and_counted_and_then_everything_comes_in_once() {
    let mut line = Line::new(wheels(10, 2), false);
    line.run(2000);
    assert_eq!((line.store.acknowledged, line.bench.link()), (2, connected(0)));
    line.away(true);
    line.run(1000);
    assert_eq!(line.aways(), [Some(0)]);
    for waiting in 1..=23 {
        line.log(1);
        line.run(1000);
        let Link::Away { since, waiting: told } = line.bench.link() else {
            panic!("{:?}", line.bench.link())
        };
        assert_eq!((told, since.as_millisecond() / 1000), (Some(waiting), 1002), "since it was lost");
        assert!(line.keypad.console_present(line.ms), "it knows of a console");
        assert_eq!(line.store.acknowledged, 2, "and has more to send");
    }
    line.away(false);
    line.run(12_000);
    assert_eq!((line.store.acknowledged, line.bench.link()), (25, connected(0)));
    assert_eq!(line.in_book(), (1..=25).collect::<Vec<_>>(), "once, and in order");
    assert_eq!((line.aways().len(), line.backs()), (1, vec![23]), "told once: {:?}", line.notes);
}

fn connected(waiting: u32) -> Link {
    Link::Connected { keypad: "left".into(), waiting }
}

#[test]
fn a_server_is_asked_soon_at_first_and_then_seldom() {
    let mut line = Line::new(wheels(10, 0), false);
    line.run(1000);
    line.server.borrow_mut().asked.clear();
    line.away(true);
    line.run(60_000);
    let asked = line.server.borrow().asked.clone();
    let waits: Vec<u64> = asked.windows(2).map(|two| two[1] - two[0]).collect();
    assert!(asked[0] < 1600 && asked.iter().filter(|at| **at < 5000).count() >= 3, "{asked:?}");
    assert!(waits.is_sorted() && waits.iter().all(|wait| *wait <= 8010), "{waits:?}");
    assert!((8..14).contains(&asked.len()), "{asked:?}");
}

#[test]
fn a_bench_that_is_started_while_the_server_is_away_waits_and_counts() {
    let mut line = Line::new(wheels(10, 3), true);
    line.run(9000);
    assert!(matches!(line.bench.link(), Link::Away { waiting: Some(3), .. }), "{:?}", line.bench.link());
    assert_eq!((line.store.acknowledged, line.aways().len()), (0, 1), "{:?}", line.notes);
    let held = |note: &Note| matches!(note, Note::HeldBack { keypad, records: 3 } if keypad == "keypad");
    assert_eq!(line.notes.iter().filter(|note| held(note)).count(), 1, "{:?}", line.notes);
    line.away(false);
    line.run(10_000);
    assert_eq!((line.in_book(), line.backs()), (vec![1, 2, 3], vec![3]), "{:?}", line.notes);
}

#[test]
fn what_was_committed_without_an_answer_is_not_doubled_and_what_was_not_is_not_lost() {
    for done in [true, false] {
        let mut line = Line::new(wheels(10, 0), false);
        line.run(1000);
        line.server.borrow_mut().lost = Some(done);
        line.log(4);
        line.run(3000);
        assert_eq!((line.store.acknowledged, line.in_book().len()), (0, if done { 4 } else { 0 }));
        line.log(1);
        line.away(false);
        line.run(10_000);
        assert_eq!((line.store.acknowledged, line.in_book()), (5, vec![1, 2, 3, 4, 5]), "done: {done}");
        assert_eq!(line.backs(), [5], "{:?}", line.notes);
    }
}

#[test]
fn a_server_that_opens_and_is_lost_again_is_one_loss() {
    let mut line = Line::new(wheels(10, 0), false);
    line.run(1000);
    line.log(2);
    for _ in 0..4 {
        line.server.borrow_mut().lost = Some(false);
        line.away(false);
        line.run(9000);
    }
    assert_eq!((line.aways().len(), line.backs().len()), (1, 0), "{:?}", line.notes);
    line.away(false);
    line.run(9000);
    assert_eq!((line.in_book(), line.backs()), (vec![1, 2], vec![2]), "{:?}", line.notes);
}

#[test]
fn a_keypad_that_is_unplugged_or_changed_meanwhile_is_held_too() {
    let mut line = Line::new(wheels(10, 1), false);
    line.run(1000);
    line.away(true);
    line.log(1);
    line.run(2000);
    line.bench.unplugged();
    assert!(matches!(line.bench.link(), Link::Away { waiting: None, .. }), "{:?}", line.bench.link());
    (line.store, line.keypad) = (wheels(11, 7), KeypadSession::new("other", "1"));
    line.bench.plugged(Now { ms: line.ms, utc_ms: 1_000_000 });
    line.run(3000);
    assert!(matches!(line.bench.link(), Link::Away { waiting: Some(7), .. }), "{:?}", line.bench.link());
    line.away(false);
    line.run(9000);
    assert_eq!(line.store.acknowledged, 7);
    assert_eq!(line.in_book(), [1, 1, 2, 3, 4, 5, 6, 7]);
}
