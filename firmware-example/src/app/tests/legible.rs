//! Whatever an order, a dial and a bench can be, nothing that shows is cut off, in letters or in pixels.

use super::any::Random;
use super::{CENTRE, JOB, OWN, Pages, card, layout, nothing_done};
use crate::app::App;
use crate::app::legend::BEAT_MS;
use crate::keys::{Key, Press};
use crate::memory::{Consent, Memory};
use crate::screen::Canvas;
use crate::screen::text::render;
use crate::screen::{ANSWER_COLUMNS, BESIDE_COLUMNS, Body, LIST_COLUMNS, Line, Screen, cut, graphics};
use bevelbook_core::link::{Card, Station};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder, Wanted};
use bevelbook_core::record::Flow;
use bevelbook_core::sizing::{Advice, Basis, Counting, Dial, Habit, Ladder, Rim, Rung};
use bevelbook_core::tolerance::{Design, Limits, Standard, Thinning, ThinningKnown};
use bevelbook_core::units::{Axis, Length, Power, Prism, PrismPair};
use std::collections::BTreeSet;
use std::string::{String, ToString};
use std::vec::Vec;

fn power(random: &mut Random, most: i32) -> Power {
    Power::from_milli(random.one_of(&[0, 125, 250, most / 2, most]) * random.one_of(&[-1, 1]))
}

fn prism(random: &mut Random) -> PrismPair {
    let mut part = || Prism::from_milli(random.one_of(&[0, 0, 1500, -2000, 12_750, -12_750]));
    PrismPair { base_in: part(), base_up: part() }
}

fn eye(random: &mut Random, design: Design) -> EyeOrder {
    let axis = Axis::from_milli(random.one_of(&[1000, 15_000, 97_000, 180_000]));
    let power = SphereCylinder { sphere: power(random, 20_000), cylinder: power(random, 6000), axis };
    let wanted = random.one_of(&[
        Wanted::Lens,
        Wanted::Lens,
        Wanted::Lens,
        Wanted::Balance { known: true },
        Wanted::Balance { known: false },
        Wanted::Nothing { known: true },
        Wanted::Nothing { known: false },
    ]);
    let add = (design != Design::SingleVision).then_some(Power::from_milli(2250));
    EyeOrder { power, prism: prism(random), add, wanted }
}

/// What a book can tell.
fn advice(random: &mut Random) -> Advice {
    let length = Length::from_milli;
    let first = random.one_of(&[150, 225, 1250]);
    let step = length(random.one_of(&[50, 125]));
    let rungs =
        [first, first - 150].map(length).map(|at| Rung { at, far: at - step - step, just: at - step });
    let most = length(random.one_of(&[-150, 125, 1250]));
    Advice {
        basis: random.one_of(&Basis::ALL),
        first: Ladder::new(rungs),
        second: Ladder::new(rungs),
        second_from_fit: random.below(2) == 0,
        lenses: random.one_of(&[1, 9, 99, 100, 255]),
        fitted: (random.below(3) > 0).then_some([most - random.one_of(&[Length::ZERO, step]), most]),
        tenths: [17; 2],
    }
}

/// A job that can be ordered.
fn ordered(random: &mut Random) -> Card {
    let design = random.one_of(&Design::ALL);
    let mut ordered = Card {
        number: random.one_of(&[7, 412, 99_999]),
        label: random.one_of(&["Skerry 3 52-17", "Lindgren 7 with a 50-18"]).try_into().unwrap(),
        tray: random.one_of(&["", "4", "112"]).try_into().unwrap(),
        design,
        eyes: [eye(random, design), eye(random, design)],
        rim: random.one_of(&Rim::ALL),
        thinning: Thinning {
            prism: Prism::from_milli(if design == Design::Progressive { 1200 } else { 0 }),
            known: random.one_of(&[ThinningKnown::Assumed, ThinningKnown::Ordered]),
        },
        advice: (random.below(3) > 0).then(|| advice(random)),
        heights: (design != Design::SingleVision).then_some([Length::from_milli(18_500); 2]),
        ..card(1, 0, nothing_done())
    };
    if random.below(3) == 0 {
        ordered.prescribed = [Some(power_of(&ordered, Eye::Right)), Some(power_of(&ordered, Eye::Left))];
    }
    let standard = random.one_of(Standard::ALL);
    ordered.limits = Some(Limits::of(standard, design, &ordered.order()));
    ordered
}

fn power_of(card: &Card, eye: Eye) -> SphereCylinder {
    card.eyes[eye.index()].power
}

fn app(random: &mut Random) -> App<Pages> {
    let (mut memory, _) = Memory::begin(Pages::blank(), layout(), OWN, Consent::KeepRecords).unwrap();
    let step = Length::from_milli(random.one_of(&[10, 25, 50]));
    let from = Length::from_milli(500);
    let counting = random.one_of(&[Counting::Absolute, Counting::TakeOff { from }]);
    let dial = (random.below(5) > 0).then(|| Dial { basis: random.one_of(&Basis::ALL), counting, step });
    let station = Station { revision: 1, includes_upto: 0, dial, habit: Habit::COMMON, flow: Flow::COMMON };
    assert!(memory.store_station(station).unwrap());
    let told = random.below(6) > 0;
    if told {
        let card = ordered(random);
        memory.store_card(JOB, 1, 0, &card.encode()).unwrap();
    }
    App::new(memory, "test")
}

/// What of a screen has no room, in letters or in pixels.
fn cut_off(screen: &Screen) -> Vec<String> {
    cut::take();
    let mut cut_off: Vec<String> = match &screen.body {
        Body::List { items, .. } => over(items.iter().map(Line::as_str), LIST_COLUMNS),
        Body::Large { lines, .. } => over(lines.iter().map(Line::as_str), BESIDE_COLUMNS),
        _ => Vec::new(),
    };
    // What has letters of ASCII alone.
    let own = match &screen.body {
        Body::Question { question, figure, .. } => [question.as_str(), figure.as_str()],
        Body::Prism { question, .. } => [question.as_str(), ""],
        Body::Large { title, word, .. } => [title.as_str(), word],
        Body::List { title, .. } | Body::Message { title, .. } => [title.as_str(), ""],
        Body::Eye(_) => [""; 2],
    };
    let says = &screen.answers;
    let answers = [says.up, says.down, says.left, says.right, says.centre];
    cut_off.extend(own.into_iter().chain(answers).filter(|text| !text.is_ascii()).map(Into::into));
    cut_off.extend(over(answers.into_iter(), ANSWER_COLUMNS));
    if !graphics::holds(&screen.answers, matches!(screen.body, Body::List { .. })) {
        cut_off.push("the answers".into());
    }
    render(screen).to_string();
    graphics::draw(screen, &mut Canvas::black_and_white());
    cut_off.extend(cut::take());
    cut_off
}

fn over<'a>(texts: impl Iterator<Item = &'a str>, room: usize) -> Vec<String> {
    texts.filter(|text| text.chars().count() > room).map(Into::into).collect()
}

#[test]
fn nothing_that_an_order_and_a_bench_can_say_is_cut_off() {
    let mut seen = BTreeSet::new();
    for seed in 0..150 {
        let random = &mut Random(seed);
        let mut app = app(random);
        let mut now_ms = 1000;
        cut::take();
        for _ in 0..80 {
            now_ms += 400;
            let key = random.one_of(&Key::ALL);
            app.press(
                match random.below(10) {
                    0 => Press::long(key),
                    1..=5 => CENTRE,
                    _ => Press::short(key),
                },
                now_ms,
            );
            let beat = app.screen(now_ms);
            let screen = app.screen(now_ms + BEAT_MS);
            let made = cut::take();
            assert!(made.is_empty(), "{made:?}\n{}", render(&screen));
            for screen in [beat, screen] {
                // Each once: to draw takes longer than to press.
                if seen.insert(render(&screen).to_string()) {
                    let cut_off = cut_off(&screen);
                    assert!(cut_off.is_empty(), "{cut_off:?}\n{}", render(&screen));
                }
            }
        }
    }
    let titles: BTreeSet<&str> = seen.iter().filter_map(|screen| screen.lines().nth(1)).collect();
    assert!(titles.len() > 60, "{titles:#?}");
}

/// What a screen calls saved is not to be kept apart at the console.
#[test]
fn nothing_is_saved_that_no_bench_can_say() {
    let mut saved = 0;
    for seed in 0..400 {
        let random = &mut Random(seed);
        let mut app = app(random);
        let mut now_ms = 1000;
        for _ in 0..30 {
            // A key that is pressed again and again, and then what goes on.
            let key = random.one_of(&Key::ALL);
            for _ in 0..random.below(60) {
                now_ms += 400;
                app.press(Press::short(key), now_ms);
            }
            now_ms += 400;
            app.press(CENTRE, now_ms);
        }
        for seq in 1..app.memory().next() {
            let fact = app.record_at(seq).unwrap().unwrap().fact().unwrap();
            assert_eq!(fact.possible(), Ok(()), "seed {seed}: {fact:?}");
            saved += 1;
        }
    }
    assert!(saved > 1000, "{saved}");
}
