//! Screens to try the renderers with; every figure, job and name in them is invented.

use super::{Answers, Body, Header, Line, Picture, Screen, Tone};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use std::vec::Vec;

pub(super) fn gauge(now: i32, too_big: Option<i32>, fits: Option<i32>) -> Picture {
    let mm = Length::from_milli;
    Picture::Gauge { now: mm(now), too_big: too_big.map(mm), fits: fits.map(mm) }
}

fn header(job: &str, eye: Option<Eye>, unsynced: u16, console: bool) -> Header {
    Header { job: Line::new(job), eye, unsynced, console }
}

const fn answers(
    up: &'static str,
    down: &'static str,
    left: &'static str,
    right: &'static str,
    centre: &'static str,
) -> Answers {
    Answers { up, down, left, right, centre }
}

fn question(question: &str, figure: &str, detail: &str, picture: Picture) -> Body {
    let (question, figure, detail) = (Line::new(question), Line::new(figure), Line::new(detail));
    Body::Question { question, figure, detail, picture }
}

fn lines(texts: &[&str]) -> heapless::Vec<Line, 4> {
    texts.iter().map(Line::new).collect()
}

pub(super) fn sizing() -> Screen {
    Screen {
        header: header("12", Some(Eye::Right), 3, true),
        body: question("cut, then: how is it?", "+0.35", "offset mm, pass 2", gauge(350, Some(500), None)),
        answers: answers("far", "fits", "loose", "just", "size"),
        tone: Tone::Plain,
    }
}

pub(super) fn guarded() -> Screen {
    Screen {
        header: header("12", Some(Eye::Right), 5, false),
        body: question("below what fitted", "+0.15", "+0.20 fits", gauge(150, Some(500), Some(200))),
        answers: answers("+", "-", "--", "++", "take"),
        tone: Tone::Warning,
    }
}

pub(super) fn axis() -> Screen {
    Screen {
        header: header("own 3", Some(Eye::Left), 0, false),
        body: question("wheel: sharp at", "15", "ordered 20", Picture::Axis(15)),
        answers: answers("+", "-", "--", "++", "so"),
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
        answers: answers("up", "down", "back", "", "open"),
        tone: Tone::Plain,
    }
}

pub(super) fn refusal() -> Screen {
    Screen {
        header: header("1234", Some(Eye::Left), 487, false),
        body: Body::Message {
            title: Line::new("memory full"),
            lines: lines(&[
                "Nothing more is kept",
                "until a console took",
                "what is held here.",
                "Plug in the cable.",
            ]),
        },
        answers: answers("", "", "", "", "seen"),
        tone: Tone::Refusal,
    }
}

/// Every kind of screen, with a name.
pub(super) fn all() -> Vec<(&'static str, Screen)> {
    let with = |picture, figure: &str, detail: &str| Screen {
        body: question("what is asked of you?", figure, detail, picture),
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
                body: question("size", "+0.20", "offset mm", gauge(200, Some(500), Some(200))),
                ..sizing()
            }
        ),
        (
            "gauge-first",
            Screen { body: question("size", "+0.50", "offset mm", gauge(500, None, None)), ..sizing() }
        ),
        ("list", list()),
        ("refusal", refusal()),
        (
            "long-answers",
            Screen {
                answers: answers("far over", "fits all", "is loose", "just ove", "the size"),
                ..guarded()
            }
        ),
        (
            "three-lines",
            Screen {
                body: Body::Message {
                    title: Line::new("the axis is mirrored"),
                    lines: lines(&["read 165", "ordered 15", "Lens turned over?"])
                },
                answers: answers("again", "keep", "undo", "", ""),
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
    let answers = answers("WWWWWWWWWWWW", "WWWWWWWWWWWW", "gggggggggggg", "ÅÅÅÅÅÅÅÅÅÅÅÅ", "WWWWWWWWWWWW");
    let bodies = [
        question(&long, &long, &long, Picture::None),
        question(&long, &long, &long, Picture::Axis(180)),
        question(&long, &long, &long, gauge(0, Some(-1_000_000), Some(1_000_000))),
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
