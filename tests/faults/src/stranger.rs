//! A keypad that answers every request with anything: out of order, out of range, of other journals, or with nonsense.

use crate::chance::Chance;
use crate::day::STRANGER;
use bevelbook_core::link::message::FROM_KEYPAD;
use bevelbook_core::link::payload::{
    Acked, Batch, CardDropped, CardStored, CardsHeld, StationStored, TimeAck,
};
use bevelbook_core::link::{
    Decoder, Frame, HeldCard, HelloAck, MAX_WIRE, Message, Nak, Reason, RecordRun, Status,
};
use bevelbook_core::record::{JobId, JournalId, Stored};

/// See the module.
#[derive(Debug)]
pub(crate) struct Stranger {
    chance: Chance,
    decoder: Decoder,
    pub(crate) until_ms: u64,
}

impl Stranger {
    pub(crate) fn new(seed: u64, until_ms: u64) -> Self {
        Self { chance: Chance(seed), decoder: Decoder::new(), until_ms }
    }

    /// What it answers to bytes of the host.
    pub(crate) fn answers(&mut self, mut bytes: &[u8]) -> Vec<Vec<u8>> {
        let mut decoder = std::mem::take(&mut self.decoder);
        let mut answers = Vec::new();
        while let Some(frame) = decoder.next(&mut bytes) {
            if let Ok(message) = Message::decode(frame.kind, frame.payload) {
                answers.push(self.answer(&message, frame.session, frame.tag));
            }
        }
        self.decoder = decoder;
        answers
    }

    fn answer(&mut self, asked: &Message, session: u16, tag: u8) -> Vec<u8> {
        let mut buffer = [0; MAX_WIRE];
        match self.chance.below(10) {
            0 => {
                let payload: Vec<u8> =
                    (0..self.chance.below(200)).map(|_| self.chance.next() as u8).collect();
                let kind = self.chance.next() as u8 | FROM_KEYPAD;
                Frame { kind, tag, session, payload: &payload }
                    .encode(&mut buffer)
                    .unwrap_or_default()
                    .to_vec()
            }
            1 => {
                let nak = Nak {
                    of: asked.kind(),
                    reason: Reason::from(self.chance.below(14) as u8),
                    lowest: 1,
                    highest: 1,
                };
                Message::Nak(nak).to_wire(session, tag, &mut buffer).to_vec()
            }
            2 => {
                let other = self.status();
                Message::Status(other).to_wire(session, 0, &mut buffer).to_vec()
            }
            _ => self.fitting(asked).to_wire(session, tag, &mut buffer).to_vec(),
        }
    }

    /// Of the kind that was asked for, and with any content.
    fn fitting(&mut self, asked: &Message) -> Message {
        match asked {
            Message::Hello(_) => Message::HelloAck(self.greeting()),
            Message::Pull(pull) => Message::Batch(self.batch(pull.from)),
            Message::Ack(ack) => {
                let acknowledged = if self.chance.once_in(3) { self.number() } else { ack.upto };
                Message::Acked(Acked { acknowledged })
            }
            Message::Time(_) => Message::TimeAck(TimeAck { boot: self.boot(), ticks: self.number() }),
            Message::CardPart(part) => {
                let part_number = if self.chance.once_in(5) { self.chance.next() as u8 } else { part.part };
                Message::CardStored(CardStored { job: part.job, revision: part.revision, part: part_number })
            }
            Message::CardDrop(card) => Message::CardDropped(CardDropped { job: card.job }),
            Message::CardList(list) => Message::CardsHeld(self.list(list.from)),
            Message::Station(_) => Message::StationStored(StationStored { revision: self.number() }),
            _ => Message::Status(self.status()),
        }
    }

    /// Small numbers, and the greatest.
    fn number(&mut self) -> u32 {
        match self.chance.below(8) {
            0 => u32::MAX - self.chance.below(3) as u32,
            1 => self.chance.next() as u32,
            _ => self.chance.below(40) as u32,
        }
    }

    fn boot(&mut self) -> u32 {
        if self.chance.once_in(4) { self.number() } else { 3 }
    }

    fn status(&mut self) -> Status {
        Status { unsynced: self.number(), next: self.number(), boot: self.boot(), ticks: self.number() }
    }

    fn greeting(&mut self) -> HelloAck {
        let journal = if self.chance.once_in(4) { JournalId(self.chance.next()) } else { STRANGER };
        HelloAck {
            protocol: 1,
            journal,
            boot: 3,
            ticks: self.number(),
            oldest: self.number(),
            next: self.number(),
            acknowledged: self.number(),
            name: "\u{1b}[2J".try_into().unwrap_or_default(),
            card_slots: self.chance.next() as u8,
            firmware: "0".try_into().unwrap_or_default(),
            station: self.number(),
        }
    }

    fn batch(&mut self, from: u32) -> Batch {
        let mut records = RecordRun::new();
        let mut seq = if self.chance.once_in(4) { self.number() } else { from };
        for _ in 0..self.chance.below(6) {
            let length = self.chance.below(49);
            let data = (0..length).map(|_| self.chance.next() as u8).collect();
            let (boot, ticks) = (self.boot(), self.number());
            records.push(&Stored { seq, boot, ticks, kind: self.chance.below(16) as u8, data });
            seq = seq.saturating_add(if self.chance.once_in(5) { self.chance.below(4) as u32 } else { 1 });
        }
        let from = if self.chance.once_in(6) { self.number() } else { from };
        let through = if self.chance.once_in(4) { self.number() } else { seq };
        let next = if self.chance.once_in(4) { self.number() } else { through };
        Batch { journal: STRANGER, from, through, next, records }
    }

    fn list(&mut self, from: u8) -> CardsHeld {
        let job =
            |chance: &mut Chance| HeldCard { job: JobId(chance.next()), revision: chance.next() as u32 };
        let held = (0..self.chance.below(14)).map(|_| job(&mut self.chance)).collect();
        CardsHeld { from, through: if self.chance.once_in(2) { from.saturating_add(1) } else { 255 }, held }
    }
}
