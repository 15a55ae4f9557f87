//! What the host makes of an answer.

use super::{CLOCK_MS, Errand, Event, HostSession, Open, POLL_MS, Peer, Phase, RETRY_MOST_MS, Request, Walk};
use crate::link::message::{Message, PROTOCOLS};
use crate::link::payload::{Batch, CardsHeld, HelloAck, Status};
use crate::link::text::printable;
use crate::link::{Nak, Reason};

/// How often a card is begun again because the keypad lost its beginning.
const BEGIN_AGAIN: u8 = 3;

impl HostSession {
    /// Takes the answer to `open`; it has the right session and tag.
    pub(super) fn accept(&mut self, open: Open, message: Message, now_ms: u64) {
        match (open.request, message) {
            (_, Message::Nak(nak)) => self.take_refusal(open.request, nak, now_ms),
            (Request::Hello, Message::HelloAck(ack)) => self.greeted(open, ack, now_ms),
            (Request::Pull { from }, Message::Batch(batch)) => self.take_batch(from, batch, now_ms),
            (Request::Ack { upto }, Message::Acked(acked)) if acked.acknowledged >= upto => {
                if let Some(peer) = &mut self.peer {
                    peer.acknowledged = acked.acknowledged;
                    let journal = peer.journal;
                    self.tell(Event::Acknowledged { journal, upto: acked.acknowledged });
                }
            }
            (Request::Time, Message::TimeAck(ack)) => {
                if self.peer.is_some_and(|peer| peer.boot == ack.boot) {
                    self.anchor(open, ack.boot, ack.ticks, now_ms);
                } else {
                    self.restart(now_ms);
                }
            }
            (Request::Part(part), Message::CardStored(stored)) if stored.part == part => {
                self.part = part + 1;
                if let Some(Errand::Card(card)) = self.errands.front()
                    && self.part >= card.count()
                {
                    let event = Event::CardStored { job: card.job(), revision: card.revision() };
                    self.finish_errand(event);
                }
            }
            (Request::Drop(job), Message::CardDropped(_)) => self.finish_errand(Event::CardDropped { job }),
            (Request::List { from }, Message::CardsHeld(held)) => self.take_list(from, held),
            (Request::Station, Message::StationStored(stored)) => {
                // A newer one may have come to wait meanwhile.
                self.station.take_if(|station| station.revision == stored.revision);
                self.tell(Event::StationStored { revision: stored.revision });
            }
            // An answer to something else: the two ends do not agree, so they begin again, without haste.
            _ => self.restart(now_ms + POLL_MS),
        }
    }

    /// Takes a hint that nobody asked for.
    pub(super) fn hint(&mut self, session: u16, status: Status, now_ms: u64) {
        if session != 0 && session != self.session {
            return;
        }
        let known = session != 0 && self.peer.is_some_and(|peer| peer.boot == status.boot);
        if known {
            if let Some(peer) = &mut self.peer {
                peer.next = peer.next.max(status.next);
            }
            self.status = Some(status);
        } else if self.phase != Phase::Greeting {
            // It was started again, and knows of no session.
            self.restart(now_ms);
        } else if let Some(open) = &mut self.open
            && open.tries > 2
            && session == 0
            && !self.refused
        {
            // It is there: no reason to wait out the longer pauses.
            open.due_ms = open.due_ms.min(now_ms);
        }
    }

    fn greeted(&mut self, open: Open, mut ack: HelloAck, now_ms: u64) {
        let [lowest, highest] = PROTOCOLS;
        let sound = (lowest..=highest).contains(&ack.protocol)
            && ack.acknowledged < ack.next
            && (1..=ack.next).contains(&ack.oldest);
        if !sound {
            return self.restart(now_ms + RETRY_MOST_MS);
        }
        ack.name = printable(&ack.name);
        ack.firmware = printable(&ack.firmware);
        self.peer = Some(Peer {
            journal: ack.journal,
            boot: ack.boot,
            acknowledged: ack.acknowledged,
            next: ack.next,
            slots: ack.card_slots,
        });
        self.phase = Phase::Greeted;
        (self.lost, self.refused) = (false, false);
        let (boot, ticks) = (ack.boot, ack.ticks);
        self.tell(Event::Connected(ack));
        self.anchor(open, boot, ticks, now_ms);
    }

    fn anchor(&mut self, open: Open, boot: u32, ticks: u32, now_ms: u64) {
        self.clock_ms = now_ms.saturating_add(CLOCK_MS);
        // The keypad read its clock between the first question and this answer.
        let within_ms = now_ms.saturating_sub(open.first_ms).div_ceil(2);
        let utc_ms = self.utc_ms(now_ms).saturating_sub_unsigned(within_ms);
        let within_ms = u32::try_from(within_ms).unwrap_or(u32::MAX);
        self.tell(Event::Anchor { boot, ticks, utc_ms, within_ms });
    }

    fn take_batch(&mut self, from: u32, batch: Batch, now_ms: u64) {
        let Some(peer) = &mut self.peer else { return };
        let sound = batch.journal == peer.journal
            && batch.from == from
            && (from..=batch.next).contains(&batch.through)
            && batch.records.is_whole(from, batch.through);
        if !sound {
            return self.restart(now_ms + POLL_MS);
        }
        // Without progress the next pull waits its turn.
        peer.next = if batch.through > from { batch.next } else { from };
        if batch.through > from {
            self.walk = Some(Walk::new(batch));
        }
    }

    fn take_list(&mut self, from: u8, list: CardsHeld) {
        let slots = self.peer.map_or(0, |peer| peer.slots);
        let more = (from + 1..slots).contains(&list.through);
        self.list_from = more.then_some(list.through);
        self.tell(Event::CardsHeld { held: list.held, more });
    }

    fn take_refusal(&mut self, request: Request, nak: Nak, now_ms: u64) {
        let Nak { of, reason, lowest, highest } = nak;
        match (request, reason) {
            (Request::Hello, Reason::Protocol) => {
                if !self.refused {
                    self.refused = true;
                    self.tell(Event::Refused { lowest, highest });
                }
                self.restart(now_ms + RETRY_MOST_MS);
            }
            (Request::Hello, _) => {
                self.tell(Event::Nak { of, reason });
                self.restart(now_ms + RETRY_MOST_MS);
            }
            (_, Reason::NoSession) => self.restart(now_ms),
            (Request::Part(_), Reason::CardOrder) if self.begun_again < BEGIN_AGAIN => {
                self.begun_again += 1;
                self.part = 0;
            }
            (Request::Part(_) | Request::Drop(_), _) => {
                if let Some(job) = self.errands.front().map(Errand::job) {
                    self.finish_errand(Event::CardRefused { job, reason });
                }
            }
            (Request::List { .. }, _) => {
                self.list_from = None;
                self.tell(Event::Nak { of, reason });
            }
            (Request::Station, _) => {
                self.station = None;
                self.tell(Event::Nak { of, reason });
            }
            (Request::Time, _) => {
                self.clock_ms = now_ms.saturating_add(CLOCK_MS);
                self.tell(Event::Nak { of, reason });
            }
            (Request::Pull { .. } | Request::Ack { .. }, _) => {
                self.tell(Event::Nak { of, reason });
                self.restart(now_ms + POLL_MS);
            }
        }
    }
}
