//! What the host asks for next, and in what words.

use super::errand::Errand;
use super::{Event, HostSession, Open, POLL_MS, Phase, Request};
use crate::link::message::{Message, PROTOCOLS};
use crate::link::payload::{Ack, CardDrop, CardList, Hello, Pull, Time};

impl HostSession {
    /// What to ask for next.
    pub(super) fn choose(&self, now_ms: u64) -> Option<Request> {
        let idle = now_ms >= self.heard_ms + POLL_MS;
        let peer = match (self.phase, self.peer) {
            (Phase::Greeting, _) => return (now_ms >= self.hello_ms).then_some(Request::Hello),
            (Phase::Running, Some(peer)) => peer,
            (Phase::RolledBack | Phase::Held, _) => return idle.then_some(Request::Time),
            _ => return None,
        };
        if self.committed > peer.acknowledged {
            return Some(Request::Ack { upto: self.committed });
        }
        if now_ms >= self.clock_ms {
            return Some(Request::Time);
        }
        let settled = self.walk.is_none() && self.committed == self.delivered;
        let pull = Request::Pull { from: self.delivered.saturating_add(1) };
        if settled && peer.next > self.delivered.saturating_add(1) {
            return Some(pull);
        }
        if let Some(from) = self.list_from {
            return Some(Request::List { from });
        }
        if self.station.is_some() {
            return Some(Request::Station);
        }
        match self.errands.front() {
            Some(Errand::Card(_)) => Some(Request::Part(self.part)),
            Some(Errand::Drop(job)) => Some(Request::Drop(*job)),
            None if idle && settled => Some(pull),
            None => idle.then_some(Request::Time),
        }
    }

    pub(super) fn message(&self, request: Request, now_ms: u64) -> Option<Message> {
        let [lowest, highest] = PROTOCOLS;
        let utc_ms = self.utc_ms(now_ms);
        Some(match request {
            Request::Hello => Message::Hello(Hello { lowest, highest, journal: self.journal, utc_ms }),
            Request::Pull { from } => Message::Pull(Pull { from }),
            Request::Ack { upto } => Message::Ack(Ack { journal: self.peer?.journal, upto }),
            Request::Time => Message::Time(Time { utc_ms }),
            Request::Part(part) => match self.errands.front()? {
                Errand::Card(card) => Message::CardPart(card.part(part)?),
                Errand::Drop(_) => return None,
            },
            Request::Drop(job) => Message::CardDrop(CardDrop { job }),
            Request::List { from } => Message::CardList(CardList { from }),
            Request::Station => Message::Station(self.station?),
        })
    }

    /// No answer: told once, and hello is said until there is one.
    pub(super) fn lose(&mut self, open: Open, now_ms: u64) {
        if !self.lost {
            self.lost = true;
            self.tell(Event::Lost);
        }
        if open.request != Request::Hello {
            self.restart(now_ms);
        }
    }
}
