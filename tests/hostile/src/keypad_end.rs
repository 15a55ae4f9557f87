//! The keypad's end of the link, with its real memory, beside a console that says anything.
//!
//! Whatever is said: no record that was not acknowledged by right is given up, and the answer to a request is one frame.

use crate::input::Script;
use crate::memory::{Store, layout};
use bevelbook_core::link::payload::{Ack, CardDrop, CardPart, Hello, PART_BYTES, Pull};
use bevelbook_core::link::{Decoder, Frame, KeypadSession, MAX_WIRE, Message};
use bevelbook_core::record::{JobId, JournalId};
use bevelbook_keypad::memory::{Consent, Memory, Urgency};

const JOURNAL: JournalId = JournalId(77);

struct Bench {
    keypad: KeypadSession,
    memory: Memory<Store>,
    session: u16,
    now_ms: u64,
    /// The last number that a console acknowledged by right.
    acknowledged: u32,
}

pub(crate) fn feed(bytes: &[u8]) {
    let begun = Memory::begin(Store::blank(), layout(), JOURNAL, Consent::KeepRecords).unwrap();
    let mut bench = Bench {
        keypad: KeypadSession::new("hostile", "1"),
        memory: begun.0,
        session: 0,
        now_ms: 0,
        acknowledged: 0,
    };
    let mut script = Script(bytes);
    while !script.is_done() {
        bench.step(&mut script);
        bench.settle();
    }
    for seq in bench.acknowledged + 1..bench.memory.next() {
        let record = bench.memory.read(seq).unwrap().expect("it waits for a console");
        assert_eq!((record.seq, record.data[0]), (seq, seq as u8));
    }
}

impl Bench {
    fn step(&mut self, script: &mut Script<'_>) {
        match script.byte() % 8 {
            0 => self.keypad.feed(&mut self.memory, script.bytes(), self.now_ms),
            1 => {
                let (kind, tag) = (script.byte(), script.byte());
                let mut wire = [0; MAX_WIRE];
                let frame = Frame { kind, tag, session: self.session, payload: script.bytes() };
                let Ok(wire) = frame.encode(&mut wire) else { return };
                // A payload may happen to be an acknowledgement that is obeyed by right.
                if let Ok(Message::Ack(ack)) = Message::decode(kind, frame.payload) {
                    self.expect(ack);
                }
                self.keypad.feed(&mut self.memory, wire, self.now_ms);
            }
            2 => {
                self.session = u16::from(script.byte());
                let hello = Hello { lowest: 1, highest: script.byte(), journal: JournalId(5), utc_ms: 0 };
                self.say(&Message::Hello(hello));
            }
            3 => {
                let from = script.counted();
                self.say(&Message::Pull(Pull { from }));
            }
            4 => {
                let journal = if script.byte() > 0xf0 { JournalId(78) } else { JOURNAL };
                let ack = Ack { journal, upto: script.counted() };
                self.expect(ack);
                self.say(&Message::Ack(ack));
            }
            5 => self.log(),
            6 => {
                let job = JobId(u64::from(script.byte() % 4));
                let (revision, part, parts) = (script.counted(), script.byte() % 8, script.byte() % 8);
                let data = script.bytes().iter().copied().take(PART_BYTES).collect();
                self.say(&Message::CardPart(CardPart { job, revision, part, parts, data }));
                if script.byte().is_multiple_of(8) {
                    self.say(&Message::CardDrop(CardDrop { job }));
                }
            }
            _ => self.now_ms += u64::from(script.byte()) * 50,
        }
    }

    fn log(&mut self) {
        let data = [self.memory.next() as u8; 9];
        if let Ok(seq) = self.memory.append(2, &data, 0, Urgency::FinishLens) {
            assert_eq!(seq as u8, data[0]);
        }
    }

    /// Takes note of what is acknowledged by right: if the session takes it, which only makes this too high.
    fn expect(&mut self, ack: Ack) {
        let right = ack.journal == JOURNAL && (self.acknowledged..self.memory.next()).contains(&ack.upto);
        if right {
            self.acknowledged = ack.upto;
        }
    }

    fn say(&mut self, message: &Message) {
        let mut wire = [0; MAX_WIRE];
        let wire = message.to_wire(self.session, 3, &mut wire);
        self.keypad.feed(&mut self.memory, wire, self.now_ms);
    }

    fn settle(&mut self) {
        for sent in 0.. {
            assert!(sent < 8, "it sends without end");
            let mut wire = [0; MAX_WIRE];
            let sent = self.keypad.poll_transmit(&mut self.memory, &mut wire, self.now_ms);
            let Some(mut sent) = sent else { break };
            let mut decoder = Decoder::new();
            let frame = decoder.next(&mut sent).expect("what is sent is a frame");
            Message::decode(frame.kind, frame.payload).expect("of a known kind");
            assert!(sent.is_empty(), "and one only");
        }
        assert!(self.memory.acknowledged() <= self.acknowledged);
        assert!(self.memory.acknowledged() < self.memory.next());
        let _ = self.keypad.next_deadline(&self.memory, self.now_ms);
    }
}
