//! What the caller says of its commits, and what is open by that.

use super::{Event, HostSession, Phase};

impl HostSession {
    /// The caller can commit nothing for now: nothing is pulled, acknowledged or sent until [`HostSession::restart`]. The keypad is
    /// told the time as before, so that it knows of a console, its starts are dated, and it tells how many records wait there.
    pub fn hold(&mut self) {
        let Some(peer) = self.peer else { return };
        if self.phase == Phase::Greeted {
            // Of what lies in the book nothing more is known.
            self.committed = peer.acknowledged;
        }
        self.phase = Phase::Held;
        // What would be answered now is asked for anew.
        (self.open, self.walk) = (None, None);
    }

    /// Goes on at number `from`, where `last` is the last record of the keypad's journal that the caller has committed
    /// (0: none): behind it, or before, where the caller wants to compare what it has. Does nothing unless
    /// [`Event::Connected`] was the last word.
    pub fn resume(&mut self, last: u32, from: u32) {
        let (Phase::Greeted, Some(peer)) = (self.phase, self.peer) else { return };
        let before = from.saturating_sub(1).min(last);
        (self.delivered, self.committed) = (before, before);
        self.phase = Phase::Running;
        if last >= peer.next {
            self.phase = Phase::RolledBack;
            self.tell(Event::RolledBack { journal: peer.journal, last, next: peer.next });
        }
    }

    /// The caller has committed everything up to `upto`, as [`Event::Records`] and [`Event::Gap`] told it. A number
    /// beyond what was told counts as the last one that was.
    pub fn committed(&mut self, upto: u32) {
        if self.phase == Phase::Running {
            self.committed = self.committed.max(upto.min(self.delivered));
        }
    }

    /// Whether the keypad has more records than were handed out.
    pub fn is_behind(&self) -> bool {
        self.phase == Phase::Running
            && self.peer.is_some_and(|peer| peer.next > self.delivered.saturating_add(1))
    }

    /// How many numbers of the keypad, as far as it told them, are not committed yet.
    pub fn waiting(&self) -> u32 {
        let told = self.peer.filter(|_| matches!(self.phase, Phase::Running | Phase::Held));
        let last = told.map_or(0, |peer| peer.next.saturating_sub(1));
        last.saturating_sub(self.committed)
    }
}
