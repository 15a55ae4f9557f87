//! What consoles of the crowd say, line by line, and whether the book agrees with it: read by plain SQL and by core's rules,
//! so that nothing of the store's own reading is believed.

use bevelbook::desk::{Desk, Remake};
use bevelbook::store::Trouble;
use bevelbook::work::{Fact, Line, Sets, Work, WorkError};
use bevelbook_core::record::{Bench, JournalId, Ledger, RecordId, Stored, Told};
use postgres::Client;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// What a console says last.
pub(crate) const END: &str = ":end";

/// How something that was typed ended, by what was answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Answer {
    /// It is recorded, and under which number where that was told.
    Recorded(Option<RecordId>),
    /// It is not, and why.
    Not(String),
    /// It may be.
    Unsure,
}

/// What was said so far.
#[derive(Debug, Default)]
pub(crate) struct Account {
    /// Up to which number each keypad was told that the book has everything.
    pub(crate) acknowledged: BTreeMap<JournalId, u32>,
    /// What stood in each keypad's memory at the end.
    pub(crate) held: BTreeMap<JournalId, Vec<Stored>>,
    /// What was typed, by its text.
    pub(crate) typed: BTreeMap<String, Answer>,
    /// How many consoles came to their end.
    pub(crate) ended: usize,
}

pub(crate) fn say_acknowledged(journal: JournalId, upto: u32) {
    println!(":acknowledged {} {upto}", journal.0);
}

pub(crate) fn say_held(journal: JournalId, record: &Stored) {
    let Stored { seq, boot, ticks, kind, data } = record;
    let data: String = data.iter().map(|byte| format!("{byte:02x}")).collect();
    println!(":held {} {seq} {boot} {ticks} {kind} {data}", journal.0);
}

pub(crate) fn say_typed(text: &str, typed: Result<Option<RecordId>, WorkError>) {
    match answer(typed) {
        Answer::Recorded(Some(id)) => println!(":typed {text} recorded {} {}", id.journal.0, id.seq),
        Answer::Recorded(None) => println!(":typed {text} recorded"),
        Answer::Unsure => println!(":typed {text} unsure"),
        Answer::Not(why) => println!(":typed {text} not {}", why.replace('\n', " ")),
    }
}

/// How something that was typed ended.
pub(crate) fn answer(typed: Result<Option<RecordId>, WorkError>) -> Answer {
    match typed {
        Ok(id) => Answer::Recorded(id),
        Err(WorkError::Store(error)) if matches!(error.trouble, Trouble::Unsure { .. }) => Answer::Unsure,
        Err(error) => Answer::Not(error.to_string()),
    }
}

impl Account {
    /// Takes in a line.
    pub(crate) fn hear(&mut self, line: &str) {
        let Some(said) = line.strip_prefix(':') else { return };
        let mut words = said.split(' ');
        let what = words.next().unwrap();
        let mut word = || words.next().unwrap_or_default();
        match what {
            "acknowledged" => {
                self.acknowledged.insert(JournalId(word().parse().unwrap()), word().parse().unwrap());
            }
            "held" => {
                let journal = JournalId(word().parse().unwrap());
                let mut number = || word().parse::<u32>().unwrap();
                let (seq, boot, ticks, kind) = (number(), number(), number(), number() as u8);
                let hex = words.next().unwrap_or_default();
                let bytes =
                    (0..hex.len()).step_by(2).map(|at| u8::from_str_radix(&hex[at..at + 2], 16).unwrap());
                let data = bytes.collect();
                self.held.entry(journal).or_default().push(Stored { seq, boot, ticks, kind, data });
            }
            "typed" => {
                let text = word().to_owned();
                let answer = match word() {
                    "recorded" => {
                        let id = word().parse().ok().zip(word().parse().ok());
                        Answer::Recorded(
                            id.map(|(journal, seq)| RecordId { journal: JournalId(journal), seq }),
                        )
                    }
                    "unsure" => Answer::Unsure,
                    _ => Answer::Not(words.collect::<Vec<_>>().join(" ")),
                };
                assert_eq!(self.typed.insert(text, answer), None);
            }
            _ => self.ended += 1,
        }
    }

    /// How many answers were so.
    pub(crate) fn answered(&self, so: impl Fn(&Answer) -> bool) -> usize {
        self.typed.values().filter(|answer| so(answer)).count()
    }

    /// Asserts all of it of a book that is at rest. Says how many passes were under the guard.
    pub(crate) fn assert_all(&self, book: &[Row], work: &Work) -> usize {
        self.assert_acknowledged(book);
        self.assert_same(book);
        self.assert_true(book);
        assert_numbered(book);
        assert_decided(work)
    }

    /// Asserts that the book has all that any keypad was told it has.
    pub(crate) fn assert_acknowledged(&self, book: &[Row]) {
        let mut last = HashMap::new();
        for row in book {
            last.insert(row.journal, row.record.seq);
        }
        for (journal, upto) in &self.acknowledged {
            let has = last.get(journal).copied().unwrap_or(0);
            assert!(has >= *upto, "{journal} was told {upto}, and the book has {has}");
        }
    }

    /// Asserts that the book has each record of each keypad once and as it is, and no other one of it.
    pub(crate) fn assert_same(&self, book: &[Row]) {
        let mut of: BTreeMap<JournalId, Vec<Stored>> = BTreeMap::new();
        for row in book.iter().filter(|row| row.by_keypad) {
            of.entry(row.journal).or_default().push(row.record.clone());
        }
        // A keypad that saved nothing has no records to tell of.
        for journal in of.keys().chain(self.held.keys()) {
            assert_eq!(of.get(journal), self.held.get(journal), "{journal}");
        }
    }

    /// Asserts that each answer to what was typed was true.
    pub(crate) fn assert_true(&self, book: &[Row]) {
        let mut numbers: BTreeSet<RecordId> = book.iter().map(Row::id).collect();
        for (text, answer) in &self.typed {
            // A text stands between what is no letter of it.
            let mentions = |row: &&Row| row.texts().any(|found| found == text);
            let there = book.iter().filter(|row| !row.by_keypad).filter(mentions).count();
            match answer {
                // Taken out, since no two answers name one number.
                Answer::Recorded(Some(id)) => assert!(numbers.remove(id), "{text}: {answer:?}"),
                Answer::Recorded(None) => assert_eq!(there, 1, "{text}: {answer:?}"),
                Answer::Not(_) => assert_eq!(there, 0, "{text}: {answer:?}"),
                Answer::Unsure => assert!(there <= 1, "{text}: {answer:?}"),
            }
        }
    }
}

/// A record as it stands in the book.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    pub(crate) position: i64,
    pub(crate) journal: JournalId,
    /// Of a console's own, boot and ticks are 0.
    pub(crate) record: Stored,
    payload: Vec<u8>,
    by_keypad: bool,
}

impl Row {
    /// A record of a keypad.
    pub(crate) fn of_keypad(position: i64, journal: JournalId, record: Stored) -> Self {
        Self { position, journal, record, payload: Vec::new(), by_keypad: true }
    }

    /// The first record of a console's journal.
    pub(crate) fn of_desk(position: i64, journal: JournalId, text: &str) -> Self {
        let record = Stored { seq: 1, boot: 0, ticks: 0, kind: 0x80, data: Default::default() };
        Self { position, journal, record, payload: text.into(), by_keypad: false }
    }

    fn id(&self) -> RecordId {
        RecordId { journal: self.journal, seq: self.record.seq }
    }

    /// The words in quotes of a console's own record, which is JSON.
    pub(crate) fn texts(&self) -> impl Iterator<Item = &str> {
        std::str::from_utf8(&self.payload).unwrap_or_default().split('"')
    }
}

/// All of the book, in the order of numbers within each journal.
pub(crate) fn book(client: &mut Client) -> Vec<Row> {
    let sql = "SELECT position, journal, seq, kind, boot, ticks, payload FROM bevelbook.record ORDER BY journal, seq";
    let rows = client.query(sql, &[]).unwrap();
    let number = |row: &postgres::Row, at: usize| row.get::<_, Option<i64>>(at).unwrap_or(0) as u32;
    let read = |row: &postgres::Row| {
        let payload: Vec<u8> = row.get(6);
        let by_keypad = row.get::<_, Option<i64>>(4).is_some();
        // A desk's record may be longer than any keypad's.
        let data = payload.iter().copied().filter(|_| by_keypad).collect();
        let [seq, kind, boot, ticks] = [2, 3, 4, 5].map(|at| number(row, at));
        let record = Stored { seq, boot, ticks, kind: kind as u8, data };
        Row {
            position: row.get(0),
            journal: JournalId(row.get::<_, i64>(1) as u64),
            record,
            payload,
            by_keypad,
        }
    };
    rows.iter().map(read).collect()
}

/// Asserts that numbers have no gap in any journal, and positions none in the book.
pub(crate) fn assert_numbered(book: &[Row]) {
    let mut next: BTreeMap<JournalId, u32> = BTreeMap::new();
    for row in book {
        let next = next.entry(row.journal).or_insert(1);
        assert_eq!(row.record.seq, *next, "{}", row.journal);
        *next += 1;
    }
    let mut positions: Vec<i64> = book.iter().map(|row| row.position).collect();
    positions.sort_unstable();
    assert_eq!(positions, (1..=book.len() as i64).collect::<Vec<_>>());
}

/// Asserts that no two jobs have a number, no two remakes a lens, and that no pass was typed past the guard as it stood by all
/// that was in the book before it. Says how many passes were looked at.
pub(crate) fn assert_decided(work: &Work) -> usize {
    let jobs = work.jobs().unwrap();
    assert!(jobs.damaged.is_empty(), "{:?}", jobs.damaged);
    let numbers: Vec<u32> = jobs.whole.iter().map(|job| job.order.number).collect();
    assert_eq!(numbers, (1..=numbers.len() as u32).collect::<Vec<_>>(), "numbers in the order of commits");
    let mut passes = 0;
    for job in &jobs.whole {
        let mut lenses = BTreeSet::new();
        for (at, line) in job.lines.iter().enumerate() {
            match &line.fact {
                Fact::Desk(Desk::Remake(Remake { eye, lens, .. })) => {
                    assert!(
                        lenses.insert((*eye, *lens)),
                        "job {}: two lenses {lens}, {eye}",
                        job.order.number
                    );
                }
                Fact::Bench(Bench::Pass(pass)) if line.ticks.is_none() && !pass.past => {
                    let before: Vec<Told> = job.lines[..at].iter().map(Line::told).collect();
                    let told = || before.iter().copied();
                    let state = Ledger::over(told(), Sets::default()).job(job.id, told());
                    let known = state.known(pass.lens.eye);
                    let guard = known.shown.guard(known.sizing, &pass.dialled);
                    assert_eq!(guard, Ok(()), "job {}: {pass:?}", job.order.number);
                    passes += 1;
                }
                _ => {}
            }
        }
    }
    passes
}
