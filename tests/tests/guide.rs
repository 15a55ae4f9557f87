//! What the builder's guide says in figures is so.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it expects by unwrapping it")]

use bevelbook_keypad::device::LAYOUT;
use bevelbook_keypad::memory::Layout;
use bevelbook_keypad::screen::{Answers, Body, Canvas, Header, Picture, Screen, Shade, Tone, graphics};
use bevelbook_tests::build::root;
use std::ops::Range;

/// Half a metre, in mm.
const AWAY: f64 = 500.0;

fn guide() -> String {
    std::fs::read_to_string(root().join("firmware-example/README.md")).unwrap()
}

/// The least height of a capital in what is asked, in what is said and in what is answered, in pixels.
fn capital() -> usize {
    let screen = Screen {
        header: Header::default(),
        body: Body::question("H", "", "H", Picture::None),
        answers: Answers::new("", "", "H", "", ""),
        tone: Tone::Plain,
    };
    let canvas: &mut Canvas = &mut Canvas::black_and_white();
    graphics::draw(&screen, canvas);
    let lit = |y: usize, columns: Range<usize>| columns.into_iter().any(|x| canvas.shade(x, y) != Shade::Off);
    // The question, the detail, and what an arrow answers behind its sign.
    let rows = [(9..19, 0..128), (40..48, 0..128), (56..64, 9..40)];
    rows.map(|(rows, columns)| rows.filter(|y| lit(*y, columns.clone())).count()).into_iter().min().unwrap()
}

#[test]
fn letters_are_as_high_and_seen_under_the_angle_that_the_table_tells() {
    let guide = guide();
    let pixels = capital();
    println!("a capital has {pixels} pixels at least");
    let (_, table) =
        guide.split_once(&format!("<!-- display: letters of {pixels} pixels, 50 cm away -->")).unwrap();
    let (table, _) = table.split_once("<!-- end of display -->").unwrap();
    let number = |cell: &str| cell.trim().trim_end_matches(['m', ' ', '′']).parse::<f64>().unwrap();
    let mut readable = Vec::new();
    for row in table.lines().filter(|line| line.contains('×')) {
        let cells: Vec<&str> = row.split('|').collect();
        let [_, module, area, letters, angle, ..] = cells[..] else { panic!("{row}") };
        let (_, high) = area.split_once('×').unwrap();
        let millimetres = number(high) / 64.0 * pixels as f64;
        let minutes = (millimetres / AWAY).atan().to_degrees() * 60.0;
        assert_eq!(format!("{millimetres:.1}"), format!("{:.1}", number(letters)), "{row}");
        assert_eq!(format!("{minutes:.0}"), format!("{:.0}", number(angle)), "{row}");
        if minutes >= 16.0 {
            readable.push(module.trim());
        }
    }
    assert_eq!(readable, ["**2.42 inches**"], "the parts list names what can be read");
    assert!(guide.contains("2.42-inch class"));
}

#[test]
fn so_many_records_and_jobs_are_held_as_it_tells() {
    let whole = Layout::new(1024, LAYOUT.card_slots(), 15).unwrap();
    let told = [
        format!("{} records and {} jobs", LAYOUT.journal_pages(), LAYOUT.card_slots() - 1),
        format!("{} records, and a start takes about twice as long", whole.journal_pages()),
    ];
    told.iter().for_each(|told| assert!(guide().contains(told), "{told}"));
}
