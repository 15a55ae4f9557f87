//! Every kind of screen that the application makes, as the emulated display shows it, against the pictures in
//! `tests/pictures`. After a change that is meant:
//! `BEVELBOOK_PICTURES=renew cargo test -p bevelbook-tests --test emulator pictures`, and look at each that changed.

use crate::board::{Board, is_beat};
use crate::full::{advice, dial, job, order, station};
use bevelbook::keypad::{FilePages, LAYOUT};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::Card;
use bevelbook_core::prescription::{EyeOrder, Wanted};
use bevelbook_core::record::JournalId;
use bevelbook_core::sizing::Dial;
use bevelbook_core::tolerance::{Design, Limits, Standard, Thinning, ThinningKnown};
use bevelbook_core::units::{Length, Power, Prism, PrismPair};
use bevelbook_keypad::memory::{Consent, Memory, PAGE};
use bevelbook_tests::emulator::{Key, Picture};
use std::path::{Path, PathBuf};

/// The committed pictures.
fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("pictures")
}

/// Shown screens against their pictures.
struct Album {
    board: Board,
    shown: Picture,
    wrong: Vec<String>,
}

impl Album {
    fn open(mut board: Board) -> Self {
        board.start();
        let shown = board.until_lit();
        Self { board, shown, wrong: Vec::new() }
    }

    /// Presses keys by the first letter of their names, capitals for held ones; each changes what shows.
    fn press(&mut self, keys: &str) -> &mut Self {
        for letter in keys.chars() {
            let named = |key: &&Key| key.name().starts_with(letter.to_ascii_lowercase());
            let key = *Key::ALL.iter().find(named).unwrap();
            let held = letter.is_ascii_uppercase();
            if held { self.board.hold(key) } else { self.board.press(key) }.unwrap();
            self.shown = self.board.until_other(&self.shown);
        }
        self
    }

    /// Presses one key that brings the other eye in hand, and looks at once.
    fn beat(&mut self, key: &str) -> &mut Self {
        let named = |known: &&Key| known.name().starts_with(key);
        self.board.press(*Key::ALL.iter().find(named).unwrap()).unwrap();
        self.shown = self.board.until(is_beat);
        self
    }

    fn past_beat(&mut self) -> &mut Self {
        self.shown = self.board.until_other(&self.shown);
        self
    }

    /// What shows is to be the picture `name`.
    fn is(&mut self, name: &str) -> &mut Self {
        let path = folder().join(format!("{name}.png"));
        if std::env::var_os("BEVELBOOK_PICTURES").is_some_and(|what| what == "renew") {
            self.board.save_picture(&path).unwrap();
        } else if Picture::load(&path).as_ref() != Some(&self.shown) {
            self.wrong.push(format!("{name} shows {:?}", self.shown));
        }
        self
    }

    fn close(&mut self) {
        assert!(self.wrong.is_empty(), "{}", self.wrong.join("\n"));
    }
}

/// A job's card with nothing done yet.
fn card(n: u64, label: &str, eyes: [EyeOrder; 2]) -> Card {
    Card {
        number: 12 + n as u32,
        revision: 1,
        label: label.try_into().unwrap(),
        tray: (n + 1).to_string().as_str().try_into().unwrap(),
        eyes,
        pd: PupillaryDistance::Monocular {
            right: Length::from_milli(31_500),
            left: Length::from_milli(30_000),
        },
        ..Card::blank(job(n))
    }
}

/// A keypad that a console gave these cards.
fn with_cards(cards: &[Card]) -> Board {
    with_station(Some(dial()), cards)
}

/// The same of a station that counts `dial`, if it was stated.
fn with_station(dial: Option<Dial>, cards: &[Card]) -> Board {
    let board = Board::new();
    let pages = FilePages::open(&board.options.memory, None).unwrap();
    let begun = Memory::begin(pages, LAYOUT, JournalId(0xa1b), Consent::KeepRecords);
    let (mut memory, _) = begun.map_err(|error| error.to_string()).unwrap();
    assert!(memory.store_station(station(dial)).unwrap());
    for card in cards {
        let limits = Some(Limits::of(Standard::AnsiZ801_2015, card.design, &card.order()));
        let card = &Card { limits, ..card.clone() };
        memory.store_card(card.job, card.revision, card.includes_upto, &card.encode()).map(drop).unwrap();
    }
    board
}

fn astigmatic() -> [EyeOrder; 2] {
    [order(-1250, -750, 15), order(-2500, -1500, 80)]
}

#[test]
fn pictures_of_a_start() {
    let board = Board::new();
    Album::open(board).is("first-start").press("C").is("no-job").close();
    let board = Board::new();
    let mut bytes = vec![0xff; 512 * PAGE];
    bytes[40 * PAGE..43 * PAGE].fill(0x5a);
    std::fs::write(&board.options.memory, &bytes).unwrap();
    Album::open(board).is("memory-unclear").press("C").is("erase-sure").close();
}

#[test]
fn pictures_of_a_pair() {
    let jobs = ["Lindgren 7 50-18", "Halvor 52-16", "Skerry 3 48-20", "Tarn 54-17", "Fell 51-19"];
    let cards: Vec<Card> = (0..).zip(jobs).map(|(n, label)| card(n, label, astigmatic())).collect();
    let mut album = Album::open(with_cards(&cards));
    album.is("jobs").press("dddd").is("jobs-end").press("uuuu");
    album.press("c").is("sphere-line").press("c").is("cylinder-line").press("c").is("axis");
    album.press("rrrrr").press("c").is("dot-centred");
    album.press("r").is("prism-in-out").press("u").press("c").is("prism-up-down");
    album.press("c").is("axis-out").press("L").is("undone").press("c");
    album.press("cclllc").press("c").is("axis-mirrored").press("c").is("mark");
    album.beat("c").is("beat").past_beat().press("ccccc").is("first-cut");
    album.press("u").is("big").press("c").is("change-size").press("c").press("r");
    album.press("d").press("c").is("other-eye").press("l").is("loose").press("c").is("remake-loose");
    album.press("c").press("Cddc").is("remake-why").press("c");
    album.press("Cdc");
    album.close();
}

#[test]
fn pictures_of_the_guard_of_checks_and_of_what_is_out() {
    let spheres = [order(-2000, 0, 180), order(-2000, 0, 180)];
    let mut album = Album::open(with_cards(&[card(0, "Lindgren 7 50-18", spheres)]));
    album.press("c").press("C").is("menu").press("uc").press("Cuc").press("Cuc").press("Cuc");
    album.press("u").press("d").is("check-bevel").press("c").is("next-eye");
    album.press("Cddddc").is("recut").press("c").is("size-below").press("dc").is("guard");
    album.press("C").is("insisted").press("d").press("c").press("d").press("c").is("mounted-line");
    album.press("ccrrcc").press("ccc").is("prism-out").press("c").is("pd").press("rrc").is("pd-off");
    album.press("c").is("check").press("d").is("not-good").press("c").press("r").is("done-out");
    album.press("lccc").press("lc").is("done").press("Cuuc").is("keys");
    album.close();
}

#[test]
fn pictures_of_a_progressive_and_of_the_station() {
    let eye = |axis| EyeOrder {
        prism: PrismPair { base_in: Prism::from_milli(2000), base_up: Prism::ZERO },
        add: Some(Power::from_milli(2250)),
        ..order(-10_250, -500, axis)
    };
    let heights = Some([Length::from_milli(18_000), Length::from_milli(18_500)]);
    let progressive = Card {
        design: Design::Progressive,
        heights,
        thinning: Thinning { prism: Prism::from_milli(1200), known: ThinningKnown::Ordered },
        ..card(0, "Halvor 52-16", [eye(97), eye(180)])
    };
    let mut album = Album::open(with_station(None, &[progressive]));
    album
        .press("c")
        .is("strong-line")
        .press("c")
        .press("c")
        .is("axis-upright")
        .press("c")
        .is("prism-with-thinning");
    album
        .press("c")
        .is("addition")
        .press("c")
        .is("mark-progressive")
        .press("Cuc")
        .press("Cuc")
        .press("Cuc")
        .is("size-not-stated");
    album.press("Cddddddd").is("menu-end").press("c").is("size-reads-as").press("u").is("size-on-girth");
    album
        .press("c")
        .is("figure-is")
        .press("u")
        .is("take-off")
        .press("c")
        .is("first-cut-leaves")
        .press("c")
        .is("smallest-step");
    album.press("c").is("station-set").press("c").is("take-off-cut");
    album.press("Cddddddc").is("rims");
    album.close();
}

#[test]
fn pictures_of_what_the_book_tells() {
    let told = Card { advice: Some(advice()), ..card(0, "Lindgren 7 50-18", astigmatic()) };
    let mut album = Album::open(with_cards(&[told]));
    album.press("cCucCucCucCuc").is("book-tells").press("cr").is("book-advised").close();
}

#[test]
fn pictures_of_orders_out_of_the_common() {
    let wanted = |wanted| EyeOrder { wanted, ..order(0, 0, 180) };
    let prism = PrismPair { base_in: Prism::from_milli(-2000), base_up: Prism::from_milli(1500) };
    let to_verify = EyeOrder { prism, ..order(-3870, -1250, 22) };
    let one = [to_verify, wanted(Wanted::Nothing { known: false })];
    let prescribed = [Some(order(-4000, -1000, 15).power), None];
    let cards = [
        Card { prescribed, ..card(0, "Lindgren 7 50-18", one) },
        card(1, "Fell 51-19", [wanted(Wanted::Balance { known: false }), order(-2000, 0, 180)]),
    ];
    let mut album = Album::open(with_cards(&cards));
    album.press("c").is("order-to-verify").press("c").is("line-to-verify");
    album.press("ccc").is("prism-both-parts").press("c").is("mark-prism").press("Cdc");
    album.press("dc").is("order-balance").press("c").is("mark-balance").close();
}

#[test]
fn pictures_of_a_full_memory_and_of_a_cut() {
    let board = Board::new();
    crate::full::fill(&board.options.memory);
    let mut album = Album::open(board);
    album.is("full");
    // What belongs to the lens in hand may use the reserve of sixteen pages; then nothing more is kept.
    album.press("uuuuuuuuuuuuuuuu").press("u").is("not-saved").close();
    drop(album);
    let board = with_cards(&[card(0, "Lindgren 7 50-18", astigmatic())]);
    let mut bytes = std::fs::read(&board.options.memory).unwrap();
    // The page of record 1 as a write that was cut half way leaves it.
    let page = 512 - usize::from(LAYOUT.journal_pages()) + 1;
    bytes[page * PAGE..page * PAGE + 32].fill(0x21);
    std::fs::write(&board.options.memory, &bytes).unwrap();
    Album::open(board).is("power-cut").press("c").close();
}
