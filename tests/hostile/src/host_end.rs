//! The console's end of the link beside a keypad that says anything, most of it in the right session.
//!
//! Whatever is said: what is handed out follows on what was committed, without a number left out or doubled; nothing is
//! acknowledged that was not committed; and the session neither panics nor sends without end.

use crate::input::Script;
use bevelbook_core::link::message::FROM_KEYPAD;
use bevelbook_core::link::payload::{Ack, Acked, Batch, HelloAck, Pull};
use bevelbook_core::link::{Decoder, Event, Frame, HostSession, MAX_WIRE, Message, RecordRun};
use bevelbook_core::record::{JournalId, Stored};
use std::collections::HashMap;

/// What the console last asked, and under which session and tag.
#[derive(Clone, Debug)]
struct Asked {
    session: u16,
    tag: u8,
    message: Message,
}

struct Bench {
    host: HostSession,
    now_ms: u64,
    asked: Option<Asked>,
    /// The keypad that was last connected, and the last number that was handed out.
    journal: JournalId,
    handed_out: u32,
    /// The last number of each journal in the book.
    committed: HashMap<JournalId, u32>,
}

pub(crate) fn feed(bytes: &[u8]) {
    let mut script = Script(bytes);
    let mut bench = Bench {
        host: HostSession::new(JournalId(5), 1, 0, 0),
        now_ms: 0,
        asked: None,
        journal: JournalId(0),
        handed_out: 0,
        committed: HashMap::new(),
    };
    while !script.is_done() {
        bench.step(&mut script);
        bench.settle(script.0.len() % 3 > 0);
    }
}

impl Bench {
    fn step(&mut self, script: &mut Script<'_>) {
        match script.byte() % 8 {
            0 => self.host.feed(script.bytes(), self.now_ms),
            1 => {
                let kind = script.byte() | FROM_KEYPAD;
                self.answer_with(kind, script.bytes());
            }
            2 => {
                let ack = greeting(script);
                self.answer(&Message::HelloAck(ack));
            }
            3 => {
                let batch = self.batch(script);
                self.answer(&Message::Batch(batch));
            }
            4 => {
                let acknowledged = script.counted();
                self.answer(&Message::Acked(Acked { acknowledged }));
            }
            5 => self.now_ms += u64::from(script.byte()) * 100,
            6 => self.host.restart(self.now_ms),
            _ => self.commit(self.handed_out),
        }
    }

    /// A batch that is mostly what was asked for.
    fn batch(&self, script: &mut Script<'_>) -> Batch {
        let asked = match self.asked.as_ref().map(|asked| &asked.message) {
            Some(Message::Pull(Pull { from })) => *from,
            _ => script.counted(),
        };
        let from = asked.wrapping_add([0, 0, 0, 1, u32::MAX][usize::from(script.byte() % 5)]);
        let mut records = RecordRun::new();
        let mut seq = from;
        for _ in 0..script.byte() % 6 {
            seq = seq.wrapping_add(u32::from(script.byte() % 3));
            let data = script.bytes().iter().copied().take(20).collect();
            let _ = records.push(&Stored { seq, boot: 1, ticks: 2, kind: script.byte(), data });
            seq = seq.wrapping_add(1);
        }
        let through = seq.wrapping_add(u32::from(script.byte() % 4)).wrapping_sub(1);
        let next = through.wrapping_add(u32::from(script.byte() % 3));
        let journal = if script.byte() == 7 { JournalId(99) } else { self.journal };
        Batch { journal, from, through, next, records }
    }

    fn answer(&mut self, message: &Message) {
        let Some(Asked { session, tag, .. }) = self.asked else { return };
        let mut wire = [0; MAX_WIRE];
        self.host.feed(message.to_wire(session, tag, &mut wire), self.now_ms);
    }

    fn answer_with(&mut self, kind: u8, payload: &[u8]) {
        let Some(Asked { session, tag, .. }) = self.asked else { return };
        let mut wire = [0; MAX_WIRE];
        if let Ok(wire) = (Frame { kind, tag, session, payload }).encode(&mut wire) {
            self.host.feed(wire, self.now_ms);
        }
    }

    fn commit(&mut self, upto: u32) {
        let last = self.committed.entry(self.journal).or_default();
        *last = (*last).max(upto);
        self.host.committed(upto);
    }

    /// Takes what happened and what is sent.
    fn settle(&mut self, commits: bool) {
        let mut events = 0;
        while let Some(event) = self.host.poll_event() {
            events += 1;
            assert!(events < 300, "events without end: {event:?}");
            self.take(event, commits);
        }
        for sent in 0.. {
            assert!(sent < 20, "it sends without end");
            let mut wire = [0; MAX_WIRE];
            let Some(mut wire) = self.host.poll_transmit(&mut wire, self.now_ms) else { break };
            let mut decoder = Decoder::new();
            let frame = decoder.next(&mut wire).expect("what is sent is a frame");
            let message = Message::decode(frame.kind, frame.payload).expect("of a known kind");
            if let Message::Ack(Ack { journal, upto }) = message {
                let last = self.committed.get(&journal).copied().unwrap_or(0);
                assert!(upto <= last, "{upto} of {journal:?} is acknowledged, and {last} is committed");
            }
            if !matches!(message, Message::HostNak(_)) {
                self.asked = Some(Asked { session: frame.session, tag: frame.tag, message });
            }
        }
        let _ = self.host.next_deadline(self.now_ms);
    }

    fn take(&mut self, event: Event, commits: bool) {
        match event {
            Event::Connected(ack) => {
                self.journal = ack.journal;
                self.handed_out = self.committed.get(&ack.journal).copied().unwrap_or(0);
                self.host.resume(self.handed_out, self.handed_out.saturating_add(1));
            }
            Event::Records { journal, records } => {
                assert_eq!(journal, self.journal);
                let numbers: Vec<u32> = records.iter().map(|record| record.seq).collect();
                let expected: Vec<u32> = (self.handed_out + 1..).take(numbers.len()).collect();
                assert!(!numbers.is_empty() && numbers == expected, "{numbers:?} behind {}", self.handed_out);
                self.handed_out = *numbers.last().expect("not empty");
            }
            Event::Gap { journal, from, to } => {
                assert_eq!((journal, from), (self.journal, self.handed_out + 1));
                assert!(from <= to);
                self.handed_out = to;
            }
            _ => return,
        }
        if commits {
            self.commit(self.handed_out);
        }
    }
}

/// What a keypad says of itself, mostly sound.
fn greeting(script: &mut Script<'_>) -> HelloAck {
    let (next, short) = (script.counted(), u32::from(script.byte() % 4));
    HelloAck {
        protocol: if script.byte() == 9 { 2 } else { 1 },
        journal: JournalId(u64::from(script.byte() % 3)),
        boot: script.counted(),
        ticks: script.counted(),
        oldest: if script.byte() > 0xf0 { script.counted() } else { 1.min(next) },
        next,
        acknowledged: next.wrapping_sub(short),
        name: heapless::String::new(),
        card_slots: script.byte(),
        firmware: heapless::String::new(),
        station: script.counted(),
    }
}
