//! Screens to try the renderers with; every figure, job and name in them is invented.

use super::{
    Answers, Body, Header, Held, HeldKeys, Lens, Line, MarkedLens, Marks, Part, Picture, Screen, Tone,
};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::{Length, PrismPair};
use std::vec::Vec;

pub(super) fn gauge(now: i32, too_big: Option<i32>, fits: Option<i32>) -> Picture {
    let mm = Length::from_milli;
    Picture::Gauge { now: mm(now), too_big: too_big.map(mm), fits: fits.map(mm) }
}

fn header(job: &str, eye: Option<Eye>, unsynced: u16, console: bool) -> Header {
    Header { job: Line::new(job), eye, unsynced, console, ..Header::default() }
}

fn lines(texts: &[&str]) -> heapless::Vec<Line, 4> {
    texts.iter().map(Line::new).collect()
}

pub(super) fn sizing() -> Screen {
    Screen {
        header: header("12", Some(Eye::Right), 3, true),
        body: Body::question(
            "cut, then: how is it?",
            "+0.35",
            "offset mm, pass 2",
            gauge(350, Some(500), None),
        ),
        answers: Answers::new("much", "fits", "loose", "touch", "size"),
        tone: Tone::Plain,
    }
}

pub(super) fn guarded() -> Screen {
    Screen {
        header: header("12", Some(Eye::Right), 5, false),
        body: Body::question("below what fitted", "+0.15", "+0.20 fits", gauge(150, Some(500), Some(200))),
        answers: Answers::new("+", "-", "--", "++", "set"),
        tone: Tone::Warning,
    }
}

pub(super) fn axis() -> Screen {
    Screen {
        header: header("walk-in", Some(Eye::Left), 0, false),
        body: Body::question("uncut axis", "15", "ordered 20", Picture::Axis(15)),
        answers: Answers::new("+", "-", "--", "++", "set"),
        tone: Tone::Plain,
    }
}

pub(super) fn list() -> Screen {
    Screen {
        header: header("", None, 0, true),
        body: Body::List {
            title: Line::new("which job?"),
            items: lines(&["11 Ash 52-18", "12 Birch 50-20", "13 Cedar 54⌀16", "14"]),
            selected: 1,
            more: (true, true),
        },
        answers: Answers::new("up", "down", "back", "", "open"),
        tone: Tone::Plain,
    }
}

pub(super) fn refusal() -> Screen {
    Screen {
        header: header("1234", Some(Eye::Left), 487, false),
        body: Body::message(
            "memory full",
            "Nothing more is kept\nuntil a console took\nwhat is held here.\nPlug in the cable.",
        ),
        answers: Answers::new("", "", "", "", "seen"),
        tone: Tone::Refusal,
    }
}

/// A lens to be marked.
pub(super) fn uncut(eye: Eye, axis: Option<u16>, marks: Marks) -> Screen {
    let (question, figure, detail) = match marks {
        Marks::Dots => ("three dots spotted?", "sphere", "dot on OC"),
        Marks::Segment => ("dots, segment level?", "sphere", "to verify; Rx axis 15"),
        Marks::Cross => ("engravings on 180?", "cross", "not by the OC"),
    };
    let figure = axis.map_or(Line::new(figure), Line::new);
    let picture = Picture::Uncut(MarkedLens { eye, axis, marks, blocked: false });
    Screen {
        header: header("12", Some(eye), 0, true),
        body: Body::question(question, figure, detail, picture),
        answers: Answers::centre("done"),
        tone: Tone::Plain,
    }
}

/// A lens with its block on it, which up and down answer.
pub(super) fn blocked() -> Screen {
    let picture =
        Picture::Uncut(MarkedLens { eye: Eye::Right, axis: None, marks: Marks::Dots, blocked: true });
    Screen {
        body: Body::question("block on dot and 180?", "block", "", picture),
        answers: Answers::new("", "bad", "", "all good", "good"),
        ..uncut(Eye::Right, Some(15), Marks::Dots)
    }
}

/// A press that came too fast.
pub(super) fn too_fast() -> Screen {
    let screen = sizing();
    Screen { header: Header { too_fast: true, ..screen.header }, ..screen }
}

/// The centre, held for a while.
pub(super) fn held() -> Screen {
    let screen = sizing();
    let held = HeldKeys { centre: Held::Menu, ..HeldKeys::default() };
    Screen {
        header: Header { hold: 4, ..screen.header },
        answers: Answers { held, ..screen.answers },
        ..screen
    }
}

fn lens(eye: Eye, prism: &str, axis: Option<u16>) -> Lens {
    Lens { eye, prism: PrismPair::parse(prism).unwrap(), axis }
}

pub(super) fn prism() -> Screen {
    Screen {
        header: header("12", Some(Eye::Right), 0, true),
        body: Body::prism(
            "prism at the dot",
            lens(Eye::Right, "2 in 1.5 up", None),
            Line::new("as ordered?"),
        ),
        answers: Answers::new("", "", "", "no", "yes"),
        tone: Tone::Plain,
    }
}

pub(super) fn prism_changed() -> Screen {
    Screen {
        header: header("12", Some(Eye::Left), 0, true),
        body: Body::Prism {
            question: Line::new("mounted prism up/down"),
            lens: lens(Eye::Left, "12.75 out 1.25 down", None),
            changed: Some(Part::Upright),
            detail: Line::default(),
        },
        answers: Answers::new("+", "-", "--", "++", "set"),
        tone: Tone::Plain,
    }
}

/// Every kind of screen, with a name.
pub(super) fn all() -> Vec<(&'static str, Screen)> {
    let with = |picture, figure: &str, detail: &str| Screen {
        body: Body::question("what is asked of you?", figure, detail, picture),
        ..axis()
    };
    std::vec![
        ("sizing", sizing()),
        ("guarded", guarded()),
        ("axis", axis()),
        ("axis-180", with(Picture::Axis(180), "180", "the longest of detail")),
        ("power", with(Picture::None, "-10.125", "ordered −10.25")),
        ("plano", with(Picture::None, "pl", "ordered pl")),
        ("pd", with(Picture::None, "31.5/30", "ordered 61.5")),
        ("axis-wide", with(Picture::Axis(97), "12345678", "8 figures and a dial")),
        (
            "gauge-done",
            Screen {
                body: Body::question("size", "+0.20", "offset mm", gauge(200, Some(500), Some(200))),
                ..sizing()
            }
        ),
        (
            "gauge-first",
            Screen { body: Body::question("size", "+0.50", "offset mm", gauge(500, None, None)), ..sizing() }
        ),
        ("prism", prism()),
        ("prism-changed", prism_changed()),
        (
            "prism-of-one-part",
            Screen {
                body: Body::prism(
                    "prism at ref. point",
                    lens(Eye::Left, "1.2 down", None),
                    Line::new("1.20 down is thinning")
                ),
                ..prism()
            }
        ),
        (
            "prism-marked",
            Screen {
                body: Body::prism(
                    "three dots spotted?",
                    lens(Eye::Left, "3 in 12.75 down", Some(22)),
                    Line::new("axis 22; Rx axis 15")
                ),
                answers: Answers::centre("done"),
                ..prism()
            }
        ),
        ("mark", uncut(Eye::Right, Some(15), Marks::Dots)),
        ("mark-180", uncut(Eye::Left, Some(180), Marks::Dots)),
        ("mark-sphere", uncut(Eye::Left, None, Marks::Dots)),
        ("mark-segment", uncut(Eye::Left, Some(90), Marks::Segment)),
        ("mark-progressive", uncut(Eye::Right, None, Marks::Cross)),
        ("blocked", blocked()),
        ("too-fast", too_fast()),
        ("held", held()),
        ("list", list()),
        ("refusal", refusal()),
        (
            "long-answers",
            Screen {
                answers: Answers::new("far over", "fits all", "is loose", "just ove", "the size"),
                ..guarded()
            }
        ),
        (
            "three-lines",
            Screen {
                body: Body::message("the axis is mirrored", "read 165\nordered 15\nLens turned over?"),
                answers: Answers::new("again", "keep", "undo", "", ""),
                tone: Tone::Warning,
                ..axis()
            }
        ),
    ]
}

/// Screens with every part as long as it can be, made of one letter.
pub(super) fn full(letter: &str, tone: Tone) -> Vec<Screen> {
    let long = letter.repeat(40);
    let header = header(&long, Some(Eye::Right), u16::MAX, true);
    let answers =
        Answers::new("WWWWWWWWWWWW", "WWWWWWWWWWWW", "gggggggggggg", "ÅÅÅÅÅÅÅÅÅÅÅÅ", "WWWWWWWWWWWW");
    let widest = PrismPair::parse("99.99 out 99.99 down").unwrap();
    let widest = |eye, changed| Body::Prism {
        question: Line::new(&long),
        lens: Lens { eye, prism: widest, axis: Some(u16::MAX) },
        changed,
        detail: Line::new(if changed.is_none() { &long } else { "" }),
    };
    let bodies = [
        widest(Eye::Right, None),
        widest(Eye::Left, Some(Part::Across)),
        Body::question(&long, &long, &long, Picture::None),
        Body::question(&long, &long, &long, Picture::Axis(180)),
        Body::question(&long, &long, &long, gauge(0, Some(-1_000_000), Some(1_000_000))),
        Body::List {
            title: Line::new(&long),
            items: lines(&[long.as_str(); 4]),
            selected: 9,
            more: (true, true),
        },
        Body::Message { title: Line::new(&long), lines: lines(&[long.as_str(); 4]) },
    ];
    bodies.map(|body| Screen { header: header.clone(), body, answers, tone }).into()
}
