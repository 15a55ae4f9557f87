//! A shop that has sized a model before: what the book tells goes onto the card, is followed, refused, followed with the
//! console away, and told anew for another dial.

use crate::loopback::Pair;
use crate::shop::{done, log};
use bevelbook::settings::Settings;
use bevelbook::work::{PassEntry, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Outcome;
use bevelbook_core::units::Length;
use bevelbook_keypad::keys::Key;
use bevelbook_tests::{Shop, usual_order};

/// Where lenses of the model fitted, in hundredths of a millimetre.
const FITTED: [i32; 4] = [5, 10, 10, 15];

/// Eight lenses fitted; then so many jobs of the same model wait.
fn sized_before(jobs: u32) -> Shop {
    let shop = Shop::new();
    done(&shop, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    for fits in FITTED {
        done(&shop, &usual_order(&[]));
        let mut work = Work::open(shop.book(), Settings::defaults().unwrap()).unwrap();
        let job = work.due().unwrap()[0].id;
        for eye in Eye::BOTH {
            for (hundredths, outcome) in [(fits + 10, Outcome::JustTooBig), (fits, Outcome::Fits)] {
                let amount = Length::from_milli(10 * hundredths);
                work.log_pass(job, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
            }
        }
        work.close(job, "sized", Some("only sized")).unwrap();
    }
    (0..jobs).for_each(|_| drop(done(&shop, &usual_order(&[]))));
    shop
}

/// Goes to the next size that is asked for, with everything before it as it stands there.
fn to_size(pair: &mut Pair) {
    for _ in 0..20 {
        if pair.screen().contains("rim size") {
            return;
        }
        pair.press(Key::Centre);
        pair.run(300);
    }
    panic!("no size is asked for:\n{}", pair.screen());
}

/// The size that stands there, in hundredths.
fn advised(pair: &Pair) -> i32 {
    let screen = pair.screen();
    let figure = screen.lines().nth(2).unwrap().trim();
    (figure.parse::<f64>().unwrap_or_else(|_| panic!("{screen}")) * 100.0).round() as i32
}

/// Sizes a lens that fits up to `most` hundredths by what stands there; after how many passes it fits, and where.
fn follow(pair: &mut Pair, most: i32) -> (u32, i32) {
    for passes in 1..10 {
        let size = advised(pair);
        let felt = match most - size {
            0.. => Key::Down,
            -14..0 => Key::Right,
            _ => Key::Up,
        };
        pair.press(felt);
        pair.run(1000);
        if felt == Key::Down {
            return (passes, size);
        }
    }
    panic!("it never fitted:\n{}", pair.screen());
}

/// The passes in the book that came from the keypad, in words.
fn passes(pair: &Pair) -> Vec<String> {
    let says = |record: &serde_json::Value| record["says"].as_str().map(str::to_owned);
    let all = log(&pair.shop);
    all.iter().filter_map(says).filter(|says| says.contains("mm on ")).collect()
}

#[test]
fn a_size_by_the_book_comes_onto_the_keypad_with_why_and_fits_within_two_passes() {
    let mut pair = Pair::of(sized_before(1));
    let sent = pair.notes().find(|note| note.contains("is on the keypad")).unwrap();
    assert!(
        sent.contains("by the book begin at +0.") && sent.ends_with("8 of this model fitted +0.05 to +0.15")
    );
    to_size(&mut pair);
    assert!(pair.screen().contains("8 fit +0.05 to +0.15"), "{}", pair.screen());
    assert!((5..=25).contains(&advised(&pair)), "{}", pair.screen());
    for _ in 0..2 {
        to_size(&mut pair);
        let (passes, size) = follow(&mut pair, 12);
        assert!(passes <= 2 && (0..=12).contains(&size), "{passes} {size}");
    }
    // What was followed is nothing to remark on.
    assert!(passes(&pair).iter().all(|says| !says.contains("advised")), "{:?}", passes(&pair));
}

#[test]
fn a_size_of_ones_own_is_recorded_beside_what_the_book_told_and_the_next_job_hears_of_its_fit() {
    let mut pair = Pair::of(sized_before(2));
    to_size(&mut pair);
    let told = advised(&pair);
    for key in [Key::Centre, Key::Up, Key::Up, Key::Centre] {
        pair.press(key);
    }
    assert_eq!(advised(&pair), told + 10, "{}", pair.screen());
    pair.press(Key::Down);
    pair.run(3000);
    let said = passes(&pair);
    assert_eq!(said.len(), 1, "{said:?}");
    let both = [format!("+0.{:02}", told + 10), format!("advised +0.{told:02}")];
    assert!(both.iter().all(|part| said[0].contains(part)), "{said:?} {both:?}");
    // Hold the centre, another job, the one below.
    pair.hold(Key::Centre);
    for key in [Key::Down, Key::Centre, Key::Down, Key::Centre] {
        pair.press(key);
    }
    to_size(&mut pair);
    let widest = format!("9 fit +0.05 to +0.{:02}", (told + 10).max(15));
    assert!(pair.screen().contains(&widest), "{widest}\n{}", pair.screen());
}

#[test]
fn with_the_console_away_the_keypad_goes_by_its_card() {
    let mut pair = Pair::of(sized_before(1));
    pair.unplug();
    to_size(&mut pair);
    assert!(pair.screen().contains("8 fit +0.05 to +0.15"), "{}", pair.screen());
    for _ in 0..2 {
        to_size(&mut pair);
        let (passes, size) = follow(&mut pair, 12);
        assert!(passes <= 2 && (0..=12).contains(&size), "{passes} {size}");
    }
}

#[test]
fn a_restated_dial_is_told_in_its_own_sizes() {
    let mut pair = Pair::of(sized_before(1));
    done(&pair.shop, &["station", "dial", "--basis", "girth", "--absolute", "--step", "0.1"]);
    pair.run(5000);
    to_size(&mut pair);
    let screen = pair.screen();
    assert!(screen.contains("on girth") && screen.contains("8 fit +0.16 to +0.47"), "{screen}");
    assert!((15..=80).contains(&advised(&pair)), "{screen}");
}
