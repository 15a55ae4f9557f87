//! What a keypad sends that held a card from before the order was amended.

use super::{EYES, done, other, shop_with, stated};
use bevelbook::settings::Settings;
use bevelbook::work::Work;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Bench, JournalId, LensId, MAX_ENCODED, NewLens, Pass, Stored};
use bevelbook_core::sizing::{Basis, Counting, Dialled, Outcome};
use bevelbook_core::units::Length;
use heapless::Vec;

const JOURNAL: JournalId = JournalId(0xaa);

#[test]
fn work_on_a_lens_that_was_left_out_meanwhile_stands_and_asks_for_nothing() {
    for eye in Eye::BOTH {
        let (made, left_out) = (other(EYES[eye.index()]), EYES[eye.index()]);
        let shop = stated(shop_with(left_out, "-1.50", &[]));
        done(&shop, ["keypad", "add", &JOURNAL.to_string(), "--name", "bench", "--yes"]);
        done(&shop, ["job", "amend", "1", &format!("--{left_out}"), "none", "--why", "keeps the old lens"]);
        let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
        let job = work.find("1").unwrap().id;
        let lens = LensId { job, eye, number: 1 };
        let amount = Length::from_milli(400);
        let dialled = Dialled { basis: Basis::Diameter, counting: Counting::Absolute, amount };
        let loose = Bench::Pass(Pass { advised: None, lens, dialled, outcome: Outcome::Loose, past: false });
        let remade = Bench::NewLens(NewLens { lens: LensId { number: 2, ..lens } });
        for (seq, fact) in (1..).zip([loose, remade]) {
            let data = Vec::from_slice(fact.encode(&mut [0; MAX_ENCODED]).unwrap()).unwrap();
            let record = Stored { seq, boot: 1, ticks: 0, kind: fact.kind(), data };
            work.take_in(JOURNAL, [(record, Some(1_772_355_600_000))]).unwrap();
        }
        drop(work);
        let log = done(&shop, ["keypad", "log", "bench", "--json"]).json();
        assert!(log.as_array().unwrap().iter().all(|row| row["apart"].is_null()), "{log}");
        let shown = done(&shop, ["job", "show", "1"]).stdout;
        assert!(shown.contains(&format!("status       waiting for the {made} lens")), "{shown}");
        assert!(shown.contains(&format!("{left_out}: +0.40 mm on diameter: loose")), "{shown}");
        assert!(shown.contains(&format!("{left_out}: remake, lens 2")), "{shown}");
        done(&shop, ["sheet", "1", "--out", "-"]);
        done(&shop, ["plan", "1"]);
    }
}
