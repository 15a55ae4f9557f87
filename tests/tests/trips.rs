//! How often a command waits for the server that keeps the book: that is what its time is made of where the server is far away.
//!
//! The bounds are what was counted. Whoever exceeds one asks one by one for what can be asked at once, or has a reason.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test says what it expects by unwrapping it")]

use bevelbook::settings::Settings;
use bevelbook::work::Work;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::*;
use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome};
use bevelbook_core::units::Length;
use bevelbook_server::{Database, Proxy, Seen, Server};
use bevelbook_tests::{Shop, usual_order};

/// A shop whose book is on a server, behind a network that counts.
struct Far<'s> {
    shop: Shop,
    _database: Database<'s>,
    proxy: Proxy,
    url: String,
}

impl Far<'static> {
    /// One with a dial, and a job with two passes; none where tests are to do without a server.
    fn shop() -> Option<Self> {
        let server = Server::shared()?;
        let database = server.database();
        let proxy = Proxy::before(server);
        let far = Self { shop: Shop::new(), url: proxy.url(database.name()), _database: database, proxy };
        far.seen(&["book", "begin"]);
        far.seen(&["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
        let order = usual_order(&[]);
        far.seen(&order.iter().map(String::as_str).collect::<Vec<_>>());
        far.seen(&["record", "pass", "1", "r", "0.40", "much-too-big"]);
        far.seen(&["record", "pass", "1", "l", "0.40", "much-too-big"]);
        Some(far)
    }

    /// What went by while a command was at work.
    fn seen(&self, args: &[&str]) -> Vec<Seen> {
        let _ = self.proxy.seen();
        let ended = self.shop.command().env("BEVELBOOK_BOOK", &self.url).args(args).output().unwrap();
        assert!(ended.status.success(), "{args:?}: {}", String::from_utf8_lossy(&ended.stderr));
        self.proxy.seen()
    }

    fn work(&self) -> Work {
        Work::open(
            bevelbook::store::Place::named(self.url.clone().into()).unwrap(),
            Settings::defaults().unwrap(),
        )
        .unwrap()
    }
}

#[test]
fn no_command_waits_for_the_server_more_often_than_is_known() {
    let Some(far) = Far::shop() else { return };
    let bounds: &[(&[&str], usize)] = &[
        (&["record", "pass", "1", "r", "0.30", "much-too-big"], 12),
        (&["record", "reading", "1", "l", "--direct", "-2.00 -0.50 x 160", "--centred"], 10),
        (&["record", "note", "1", "pads-missing"], 10),
        (&["job", "show", "1"], 8),
        (&["job", "list"], 8),
        (&["plan", "1"], 8),
        (&["sheet", "1", "--out", "-"], 8),
        (&["job", "amend", "1", "--tray", "7", "--why", "moved"], 11),
        (&["job", "new", "--like", "1"], 27),
        (&["day"], 8),
        (&["station"], 6),
        (&["job", "close", "1", "--despite", "so"], 10),
    ];
    let mut more = Vec::new();
    for (args, most) in bounds {
        let seen = far.seen(args);
        // All records, however many there are.
        let whole = |seen: &&Seen| seen.text.contains("FROM record") && seen.text.contains("position > '0'");
        assert!(seen.iter().find(whole).is_none(), "{args:?}: {seen:#?}");
        let waits = seen.iter().filter(|seen| seen.ends_a_wait()).count();
        println!("{waits:>3} {args:?}");
        more.extend((waits > *most).then(|| format!("{args:?} waits {waits} times, {most} are known")));
    }
    assert!(more.is_empty(), "{more:#?}");
}

const KEYPAD: JournalId = JournalId(0x0ed6_e000_0000_0001);

fn batch(job: JobId, first: u32, many: u32) -> Vec<(Stored, Option<i64>)> {
    let pass = |seq: u32| {
        let lens = PairId { job, numbers: [1, 1] }.lens(Eye::BOTH[seq as usize % 2]);
        let amount = Length::from_milli(300 - seq as i32);
        let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
        let fact =
            Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::JustTooBig, past: false });
        let mut buffer = [0; MAX_ENCODED];
        let data = fact.encode(&mut buffer).unwrap().try_into().unwrap();
        (Stored { seq, boot: 1, ticks: seq * 1000, kind: fact.kind(), data }, Some(1_750_000_000_000))
    };
    (first..first + many).map(pass).collect()
}

#[test]
fn a_batch_of_records_waits_no_more_often_than_one_record() {
    let Some(far) = Far::shop() else { return };
    let _ = far.proxy.waited();
    let mut work = far.work();
    let opening = far.proxy.waited();
    assert!(opening <= 4, "opening waits {opening} times");
    let job = work.find("1").unwrap().id;
    for (first, many) in [(1, 1), (2, 32), (34, 32)] {
        let records = batch(job, first, many);
        let _ = far.proxy.waited();
        assert_eq!(work.take_in(KEYPAD, records).unwrap().new, many as usize);
        let waits = far.proxy.waited();
        println!("{waits:>3} for {many} records");
        assert!(waits <= 8, "{many} records wait {waits} times");
    }
}
