//! How fast the memory wears: whole pairs worked by the production application over its production memory, with the
//! console's own session at the other end, and alone. It prints what each sort of page takes, and keeps the budget.
//!
//! `cargo test -p bevelbook-tests --test keypad wear -- --nocapture`

use crate::loopback::Pair;
use crate::shop::done;
use bevelbook::keypad::LAYOUT;
use bevelbook::settings::Settings;
use bevelbook::work::{PassEntry, Work};
use bevelbook_core::link::LEFT_OUT;
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Outcome;
use bevelbook_core::units::Length;
use bevelbook_keypad::keys::Key;
use bevelbook_tests::{Shop, usual_order};

/// Page writes of a pair, with a console there, on average.
const MOST: f64 = 40.0;
/// Writes of the page that is written most, in any one pair.
const HOTTEST: u32 = 3;

/// So many pairs are worked; behind the first few the cards of others have come.
const PAIRS: u32 = 12;
const FIRST: u32 = 2;
/// So many jobs are open: more than the keypad has room for.
const JOBS: u32 = 20;

/// Milliseconds from one record to the next: a pair takes a quarter of an hour.
const PACE_MS: u64 = 40_000;

// The keypad goes on beside what cards leave out.
const _: () = assert!(LAYOUT.journal_pages() as u32 >= 2 * LEFT_OUT);

/// What a page is for.
const SORTS: [&str; 4] = ["records", "cards", "marks", "the rest"];

fn sort(page: usize) -> usize {
    let journal = usize::from(LAYOUT.pages() - LAYOUT.journal_pages());
    match page {
        2 | 3 => 2,
        0..=6 => 3,
        _ if page < journal => 1,
        _ => 0,
    }
}

/// Model names that no other job has, and that the book may have sized before.
fn model(n: u32) -> String {
    format!("Model {}", char::from(b'A' + n as u8))
}

fn order(shop: &Shop, n: u32) {
    done(shop, &usual_order(&[["--frame", &model(n)], ["--pd", "62.5"]]));
}

/// A shop with jobs of so many models, each of which it sized before where the book is to advise.
fn shop(advised: bool) -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    for n in 0..if advised { JOBS } else { 0 } {
        order(&shop, n);
        let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
        let job = work.due().unwrap()[0].id;
        for eye in Eye::BOTH {
            let amount = Length::from_milli(100);
            work.log_pass(job, &PassEntry { eye, amount, outcome: Outcome::Fits, insist: false }).unwrap();
        }
        work.close(job, "sized", Some("only sized")).unwrap();
    }
    (0..JOBS).for_each(|n| order(&shop, n));
    shop
}

impl Pair {
    /// Presses a key until that many more records are saved, at the pace of a bench.
    fn log(&mut self, key: Key, records: u64) {
        let saved = self.saved() + records;
        for _ in 0..8 {
            self.press(key);
            if self.saved() >= saved {
                return self.turn_every(250, PACE_MS);
            }
        }
        panic!("{key:?} logs nothing:\n{}", self.screen());
    }

    /// Takes the job of that number in hand, from the list.
    fn choose(&mut self, number: u32) {
        for _ in 0..20 {
            if self.screen().contains(&format!("> {number} ")) {
                return self.press(Key::Centre);
            }
            self.press(Key::Down);
        }
        panic!("no job {number}:\n{}", self.screen());
    }

    /// A whole pair from its second record on: marked, three passes an eye, read in its frame, measured and looked at.
    fn finish(&mut self) {
        (0..3).for_each(|_| self.log(Key::Centre, 1));
        for keys in [[Key::Up, Key::Right, Key::Down], [Key::Right, Key::Right, Key::Down]] {
            keys.into_iter().for_each(|key| self.log(key, 1));
            self.log(Key::Centre, 1);
        }
        while !self.screen().contains("pair is done") {
            self.log(Key::Centre, 1);
        }
        self.press(Key::Centre);
    }
}

/// What is worked, and what its page writes come to.
#[derive(Clone, Copy, Debug)]
struct Wear {
    /// A pair, on average, by the sort of page.
    of: [f64; SORTS.len()],
    /// Of the page that is written most, in the pair that writes it most.
    hottest: u32,
    /// Of the page that is written most in all of them, a pair.
    page: f64,
}

impl Wear {
    fn all(&self) -> f64 {
        self.of.iter().sum()
    }

    fn print(&self, what: &str) {
        let Self { of: [records, cards, marks, rest], hottest, page } = *self;
        println!(
            "| {what} | {records:.1} | {cards:.1} | {marks:.1} | {rest:.1} | {:.1} | {hottest} | {page:.2} |",
            self.all()
        );
    }
}

/// How a pair ends at the desk.
#[derive(Clone, Copy, PartialEq)]
enum Desk {
    /// Signed off and given out as soon as the next one is begun.
    AtOnce,
    /// Three pairs later.
    Later,
    /// The console is away.
    Away,
}

fn worn(desk: Desk, advised: bool) -> Wear {
    let mut pair = Pair::of(shop(advised));
    // Jobs are told apart from those of before by their numbers.
    let first = 1 + if advised { JOBS } else { 0 };
    if desk == Desk::Away {
        pair.unplug();
    }
    let mut before = pair.worn.now();
    let (mut all, mut hottest) = (vec![0; before.len()], 0);
    for n in 0..PAIRS {
        let saved = pair.saved();
        pair.choose(first + n);
        pair.log(Key::Centre, 1);
        let gone = match desk {
            Desk::AtOnce => n.checked_sub(1),
            Desk::Later => n.checked_sub(4),
            Desk::Away => None,
        };
        if let Some(gone) = gone {
            let number = format!("J{}", first + gone);
            done(&pair.shop, &["inspect", &number, "--sign-off", "EM"]);
            pair.turn_every(250, PACE_MS);
            done(&pair.shop, &["job", "close", &number]);
            pair.turn_every(250, PACE_MS);
        }
        pair.finish();
        assert_eq!(pair.saved() - saved, 22);
        let now = pair.worn.now();
        for (all, (now, before)) in all.iter_mut().zip(now.iter().zip(&before)).filter(|_| n >= FIRST) {
            *all += now - before;
            hottest = hottest.max(now - before);
        }
        before = now;
    }
    let pairs = f64::from(PAIRS - FIRST);
    let mut of = [0.0; SORTS.len()];
    all.iter().enumerate().for_each(|(page, writes)| of[sort(page)] += f64::from(*writes) / pairs);
    Wear { of, hottest, page: f64::from(all.into_iter().max().unwrap()) / pairs }
}

#[test]
fn a_whole_pair_writes_no_page_often_and_not_many_of_them() {
    println!("page writes a pair | records | cards | marks | rest | all | hottest page of one | of all |");
    let at_once = worn(Desk::AtOnce, false);
    at_once.print("console there, signed off at once");
    let later = worn(Desk::Later, false);
    later.print("signed off four pairs later");
    let advised = worn(Desk::AtOnce, true);
    advised.print("each model sized before");
    let alone = worn(Desk::Away, false);
    alone.print("alone");
    for wear in [at_once, later] {
        assert!(wear.all() <= MOST && wear.hottest <= HOTTEST, "{wear:?}");
    }
    // The second eye is advised by where the first one fits.
    assert!(advised.all() <= MOST + 9.0 && advised.hottest <= HOTTEST, "{advised:?}");
    assert!((21.9..22.1).contains(&alone.all()) && alone.hottest == 1, "{alone:?}");
}
