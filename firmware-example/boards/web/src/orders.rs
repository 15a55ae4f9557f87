//! Demo orders, handed to a keypad over the link as a console does it: nobody's lenses, in frames that are not made.
//!
//! [`Giver`] stands for a console that is plugged in, states how a size reads, gives its open orders, and is unplugged. It
//! has no book, so it acknowledges nothing: what the keypad logs waits in the keypad, as on a bench whose console is away.

use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, End, Event, HostSession, MAX_WIRE, Station};
use bevelbook_core::prescription::EyeOrder;
use bevelbook_core::record::{Flow, JobId, JobState, JournalId, PairId};
use bevelbook_core::sizing::{Basis, Counting, Dial, Habit, Rim};
use bevelbook_core::tolerance::{Design, Limits, Standard, Thinning, ThinningKnown};
use bevelbook_core::units::{Length, Prism};

/// As a shop writes an order down.
struct Order {
    number: u32,
    frame: &'static str,
    rim: Rim,
    eyes: [&'static str; 2],
    pd: &'static str,
    /// Of a progressive: the heights of its fitting crosses, in µm, and the prism that it was thinned by, in thousandths.
    progressive: Option<([i32; 2], i32)>,
}

/// One without cylinder trouble, one with prism, one progressive.
const ORDERS: [Order; 3] = [
    Order {
        number: 101,
        frame: "Linden 50/18",
        rim: Rim::Metal,
        eyes: ["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"],
        pd: "61.5",
        progressive: None,
    },
    Order {
        number: 102,
        frame: "Hazel 52/17",
        rim: Rim::Plastic,
        eyes: ["+2.00 -0.50 x 90 prism 2 in", "+1.75 DS prism 1 in 0.5 up"],
        pd: "31.5/30",
        progressive: None,
    },
    Order {
        number: 103,
        frame: "Rowan 54/16",
        rim: Rim::Metal,
        eyes: ["+1.00 DS add 2", "+1.25 -0.25 x 80 add 2"],
        pd: "32/31.5",
        progressive: Some(([18_000, 18_500], 1_200)),
    },
];

/// What the shop stated of its machine: a size reads on diameter, in steps of 0.05 mm. A keypad's own statement is newer.
const STATION: Station = Station {
    revision: 1,
    includes_upto: 0,
    dial: Some(Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) }),
    habit: Habit::COMMON,
    flow: Flow::COMMON,
};

/// The journal of a console that is none.
const NOBODY: JournalId = JournalId(0x0064_656d_6f00_0001);

impl Order {
    /// As the keypad is to know it; none where a word above cannot be read.
    fn card(&self) -> Option<Card> {
        let job = JobId(u64::from(self.number) << 32 | 0xde30);
        let [right, left] = self.eyes;
        let mut card = Card {
            number: self.number,
            revision: 1,
            label: self.frame.try_into().ok()?,
            eyes: [EyeOrder::parse(right).ok()?, EyeOrder::parse(left).ok()?],
            pd: PupillaryDistance::parse(self.pd).ok()?,
            rim: self.rim,
            state: JobState::new(PairId::first(job)),
            ..Card::blank(job)
        };
        if let Some((heights, thinning)) = self.progressive {
            card.design = Design::Progressive;
            card.heights = Some(heights.map(Length::from_milli));
            card.thinning = Thinning { prism: Prism::from_milli(thinning), known: ThinningKnown::Ordered };
        }
        let table = Standard::AnsiZ801_2015.table();
        card.limits = Some(Limits::of(table, card.design, &card.order()));
        Some(card)
    }
}

/// A console that gives orders and goes.
pub(crate) struct Giver {
    host: HostSession,
    /// What is still to be taken.
    left: usize,
}

impl Giver {
    /// One that is plugged in at `now_ms`. `session` is a number that was not used before.
    pub(crate) fn new(session: u16, now_ms: u64) -> Self {
        let mut host = HostSession::new(NOBODY, session, 0, now_ms);
        host.send_station(STATION);
        let cards = ORDERS.iter().filter_map(Order::card);
        let given = cards.map_while(|card| host.send_card(&card).ok()).count();
        Self { host, left: given + 1 }
    }

    /// Says what it has to say and hears what `keypad` answers; call it again until it returns true: all is given.
    pub(crate) fn turn(&mut self, keypad: &mut impl End, now_ms: u64) -> bool {
        let mut buffer = [0; MAX_WIRE];
        loop {
            let asked = self.host.poll_transmit(&mut buffer, now_ms).map(|bytes| keypad.feed(bytes, now_ms));
            let answered =
                keypad.poll_transmit(&mut buffer, now_ms).map(|bytes| self.host.feed(bytes, now_ms));
            while let Some(event) = self.host.poll_event() {
                self.hear(&event);
            }
            if asked.or(answered).is_none() {
                return self.left == 0;
            }
        }
    }

    fn hear(&mut self, event: &Event) {
        match event {
            // From what is not acknowledged on, and nothing of it is committed.
            Event::Connected(keypad) => self.host.resume(keypad.acknowledged, keypad.acknowledged + 1),
            Event::StationStored { .. } | Event::CardStored { .. } | Event::CardRefused { .. } => {
                self.left = self.left.saturating_sub(1);
            }
            _ => {}
        }
    }
}
