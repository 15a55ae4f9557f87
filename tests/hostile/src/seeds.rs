//! Good bytes to begin from: made by the production code, so that they stay good.

use crate::book::{JOB, KEYPAD, shop};
use crate::image::sealed;
use crate::memory::{JOURNAL, Store, layout};
use bevelbook::desk::{Adoption, Closing, Desk, Filing, Note};
use bevelbook::settings::{SHOP_TABLE_EXAMPLE, Settings};
use bevelbook_core::link::payload::{Ack, Batch, CardDrop, CardList, Hello, HelloAck, Pull, Time};
use bevelbook_core::link::{MAX_WIRE, Message, Nak, Reason, RecordRun, Status};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{
    Bench, Check, CheckItem, Clock, Entered, JournalId, LensId, MAX_ENCODED, NewLens, Opened, Pass, RecordId,
    StationEvent, Stored, Subject, Void,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Dialled, Outcome, Rim};
use bevelbook_core::units::Length;
use bevelbook_keypad::memory::{Consent, Memory, PAGE, Urgency};
use std::fs;

fn facts() -> Vec<Bench> {
    let lens = |number| LensId { job: JOB, eye: Eye::Right, number };
    let mm = Length::from_milli;
    let pass = |milli, counting, outcome| {
        let dialled = Dialled { basis: Basis::Diameter, counting, amount: mm(milli) };
        Bench::Pass(Pass { advised: None, lens: lens(1), dialled, outcome, past: false })
    };
    let off = Counting::TakeOff { from: mm(20_000) };
    let dial = Dial { basis: Basis::Girth, counting: off, step: mm(50) };
    let check =
        Check { entered: Entered::READ, of: Subject::Lens(lens(1)), item: CheckItem::Strain, good: false };
    vec![
        Bench::Clock(Clock { utc_s: Some(1_795_867_200) }),
        Bench::Station(StationEvent::Dial(dial)),
        Bench::Opened(Opened { job: JOB, rim: Rim::Plastic }),
        pass(400, Counting::Absolute, Outcome::FarTooBig),
        pass(10_000, off, Outcome::Abandoned),
        pass(Length::LIMIT, off, Outcome::JustTooBig),
        pass(200, Counting::Absolute, Outcome::Fits),
        Bench::Check(check),
        Bench::NewLens(NewLens { lens: lens(2) }),
        Bench::Clock(Clock { utc_s: None }),
        Bench::Void(Void { job: Some(JOB), target: RecordId { journal: KEYPAD, seq: 3 } }),
    ]
}

fn stored(seq: u32, fact: &Bench) -> Stored {
    let mut buffer = [0; MAX_ENCODED];
    let data = fact.encode(&mut buffer).expect("a fact fits").iter().copied().collect();
    Stored { seq, boot: 1, ticks: seq * 1000, kind: fact.kind(), data }
}

/// How often, a kind, a length and so many bytes for each record.
pub(crate) fn records() -> Vec<Vec<u8>> {
    let bytes = |times: u8, kind: u8, data: &[u8]| [&[times, kind, data.len() as u8], data].concat();
    let one = |fact: &Bench| {
        let record = stored(1, fact);
        bytes(0, record.kind, &record.data)
    };
    let all: Vec<Vec<u8>> = facts().iter().map(one).collect();
    // What only a console may write.
    let desk = [
        Desk::Note(Note { text: "a note".into() }),
        Desk::Filing(Filing { from: JOB }),
        Desk::Adoption(Adoption { journal: KEYPAD, name: "\x1b[2J".into() }),
        Desk::Closing(Closing { how: "collected".into(), verdict: None, despite: None }),
    ];
    let mut seeds = vec![all.concat(), all.concat().repeat(5)];
    seeds.extend(desk.map(|fact| bytes(0, fact.kind(), &fact.encode().expect("a record of the desk"))));
    // What only a console wrote, voided.
    seeds.extend((1..=4).map(|seq| {
        let target = RecordId { journal: KEYPAD, seq };
        one(&Bench::Void(Void { job: Some(JOB), target }))
    }));
    // A pass that takes off as much as a record holds, more often than its sum fits.
    let mut often = one(&facts()[4]);
    often[0] = 0xff;
    seeds.push(often);
    seeds.extend(all);
    seeds
}

fn all_messages() -> Vec<Message> {
    let mut records = RecordRun::new();
    (1..).zip(&facts()).take(4).for_each(|(seq, fact)| assert!(records.push(&stored(seq, fact))));
    let ack = HelloAck {
        protocol: 1,
        journal: JOURNAL,
        boot: 3,
        ticks: 40,
        oldest: 1,
        next: 5,
        acknowledged: 0,
        name: heapless::String::new(),
        card_slots: 4,
        firmware: heapless::String::new(),
        station: 0,
    };
    vec![
        Message::Hello(Hello { lowest: 1, highest: 1, journal: JournalId(5), utc_ms: 1 << 40 }),
        Message::HelloAck(ack),
        Message::Pull(Pull { from: 1 }),
        Message::Batch(Batch { journal: JOURNAL, from: 1, through: 5, next: 5, records }),
        Message::Ack(Ack { journal: JOURNAL, upto: 4 }),
        Message::Time(Time { utc_ms: -1 }),
        Message::CardDrop(CardDrop { job: JOB }),
        Message::CardList(CardList { from: 0 }),
        Message::Status(Status { unsynced: 1, next: 5, boot: 3, ticks: 9 }),
        Message::Nak(Nak { of: 2, reason: Reason::Range, lowest: 1, highest: 1 }),
    ]
}

fn wire(message: &Message) -> Vec<u8> {
    message.to_wire(9, 3, &mut [0; MAX_WIRE]).to_vec()
}

pub(crate) fn frames() -> Vec<Vec<u8>> {
    let all: Vec<Vec<u8>> = all_messages().iter().map(wire).collect();
    let mut seeds = vec![all.concat(), vec![0x55; 1200]];
    seeds.extend(all);
    seeds
}

/// A kind, and the payload behind it.
pub(crate) fn messages() -> Vec<Vec<u8>> {
    let one = |message: &Message| {
        let wire = wire(message);
        let mut decoder = bevelbook_core::link::Decoder::new();
        let frame = decoder.next(&mut &wire[..]).expect("a frame");
        [&[frame.kind], frame.payload].concat()
    };
    all_messages().iter().map(one).collect()
}

/// What happens, one byte or a few for each step; what they mean is the target's.
pub(crate) fn scripts() -> Vec<Vec<u8>> {
    // Greeted, records handed out and committed, time gone by, and so again; then every step in turn.
    let usual =
        [2, 9, 0, 1, 0, 1, 1, 0, 9, 0, 4, 1, 3, 0, 3, 0, 4, 1, 2, 3, 4, 7, 5, 20, 3, 0, 2, 0, 0, 1, 1, 7];
    let turns: Vec<u8> = (0..=u8::MAX).collect();
    let appends = [0, 4, 1, 0, 9, 1, 0, 20, 1, 4, 2, 1, 7, 0, 0, 0, 0, 30, 1, 3, 0, 5, 1, 6, 1, 2].repeat(6);
    vec![usual.repeat(4), turns, appends, usual.to_vec()]
}

/// Chips with a few records, and with more than one lap of them.
pub(crate) fn images() -> Vec<Vec<u8>> {
    let one = |many: u32| {
        let begun = Memory::begin(Store::blank(), layout(), JOURNAL, Consent::KeepRecords);
        let mut memory = begun.expect("blank pages").0;
        for n in 0..many {
            let facts = facts();
            let fact = &facts[n as usize % facts.len()];
            let seq = memory.append_fact(fact, n, Urgency::FinishLens).expect("there is room");
            if n % 5 == 0 {
                memory.acknowledge(seq).expect("it was given");
            }
        }
        memory.store_card(JOB, 3, 0, &[7; 90]).expect("there is room");
        let pages = memory.into_pages();
        let content: Vec<u8> = pages.content().iter().flatten().copied().collect();
        // What the seals are made of is stated here once more: they are those of the memory.
        let first = sealed(0, pages.content()[0]);
        assert_eq!(first, pages.content()[0]);
        [&[0xfe], &content[..]].concat()
    };
    // A record under the last number there is, on its own page: what is behind it has none.
    let mut last = one(5);
    let (from, to) = (1 + 17 * PAGE, 1 + 47 * PAGE);
    last.copy_within(from..from + PAGE, to);
    last[to..to + 4].fill(0xff);
    vec![one(0), one(5), one(31), one(70), last]
}

pub(crate) fn books() -> Vec<Vec<u8>> {
    let (_folder, path) = shop();
    let book = fs::read(path).expect("a book");
    vec![book, b"no book at all".to_vec(), Vec::new()]
}

pub(crate) fn exports() -> Vec<Vec<u8>> {
    vec![crate::transfer::seed()]
}

fn texts(all: &[&str]) -> Vec<Vec<u8>> {
    all.iter().map(|text| text.as_bytes().to_vec()).collect()
}

pub(crate) fn prescriptions() -> Vec<Vec<u8>> {
    texts(&[
        "-1.25 -0.75 x 15 prism 1.5 up 2 in add +2.00",
        "+1.00 DS",
        "pl −0.50 × 170",
        "-.12/-.37@5",
        "+2.00 DC axis 30",
        "SPH -1.25 CYL -0.75 AXIS 015 2Δ base 135; ad 2.12 OD",
        "-0.50 DS x 170",
        "bal, R: -1.25/-0.75/15 1 BU 2 BI +2.25 add",
        "none, old -2.00 D.S. prism 0.5 @ 300 BVD 12",
        "31.5/30",
        "61",
    ])
}

pub(crate) fn traces() -> Vec<Vec<u8>> {
    let radii: Vec<String> = (0..36).map(|n| (2300 + n * n % 7 * 40).to_string()).collect();
    let record = format!(
        "REQ=TRC\r\nJOB=1\r\nHBOX=50.0;50.0\r\nVBOX=38;38\r\nDBL=18\r\nCIRC=140;140\r\nTRCFMT=1;36;E;R;F\r\nR={}\r\nTRCFMT=1;36;E;L;F\r\nR={}\r\n",
        radii.join(";"),
        radii.join(";")
    );
    let angled = "TRCFMT=1;4;U;R;F\nR=2300;2200;2300;2200\nA=0;9000;18000;27000\n";
    texts(&[&record, angled, "HBOX=50\n"])
}

pub(crate) fn settings() -> Vec<Vec<u8>> {
    texts(&[&Settings::starting_file(), SHOP_TABLE_EXAMPLE, "standard = \"ansi-z80.1-2015\"\n"])
}
