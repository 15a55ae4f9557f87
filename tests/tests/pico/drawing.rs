//! The wiring as a drawing: the board in the middle, each part beside the pins that it is wired to.
//!
//! A wire runs straight from the board's edge to a terminal at the same height, so that none crosses another; the display's
//! supply comes down beside the board, and the memory's is a mark, since its pin is on the other side. A table that cannot
//! be drawn so fails the test that draws it.

use crate::wires::{EDGE, Part, SIGNALS, SUPPLIES};
use std::fmt::Write;

const PITCH: i32 = 24;
const TOP: i32 = 70;
const BOARD_LEFT: i32 = 330;
const BOARD_RIGHT: i32 = 510;
/// Where the terminals of parts stand, left and right of the board.
const LEFT_TERMINALS: i32 = 190;
const RIGHT_TERMINALS: i32 = 650;
const WIDTH: i32 = 840;
const HEIGHT: i32 = 620;
/// The common ground of the keys.
const RAIL: i32 = 60;

const STYLE: &str = "text{font-family:sans-serif;font-size:13px;fill:#222}.small{font-size:11px;fill:#666}\
    .head{font-size:15px;font-weight:bold}.used{font-weight:bold}.wire{stroke:#222;stroke-width:2;fill:none}\
    .ground{stroke:#777;stroke-width:2;fill:none;stroke-dasharray:6 3}.supply{stroke:#b00;stroke-width:3;fill:none}\
    .box{fill:#f4f4f0;stroke:#222;stroke-width:1.5}.board{fill:#e4efe4;stroke:#222;stroke-width:1.5}\
    .pin{fill:#fff;stroke:#222}.end{fill:#222}";

/// The height of a pin of the edge, and whether it is on the left.
fn place(edge: u8) -> (i32, bool) {
    let edge = i32::from(edge);
    let row = if edge <= 20 { edge - 1 } else { 40 - edge };
    (TOP + 26 + row * PITCH, edge <= 20)
}

/// Every wire: part, mark, pin of the edge.
fn wires() -> Vec<(Part, &'static str, u8)> {
    let signals = SIGNALS.iter().map(|wire| (wire.part, wire.mark, wire.edge()));
    signals.chain(SUPPLIES.iter().map(|wire| (wire.part, wire.mark, wire.edge))).collect()
}

struct Svg(String);

impl Svg {
    fn text(&mut self, (x, y): (i32, i32), anchor: &str, class: &str, text: &str) {
        let text = text.replace('&', "&amp;");
        writeln!(self.0, r#"<text x="{x}" y="{y}" text-anchor="{anchor}" class="{class}">{text}</text>"#)
            .unwrap();
    }

    fn path(&mut self, class: &str, points: &[(i32, i32)]) {
        let points: Vec<String> = points.iter().map(|(x, y)| format!("{x} {y}")).collect();
        writeln!(self.0, r#"<path class="{class}" d="M{}"/>"#, points.join("L")).unwrap();
    }

    fn rect(&mut self, class: &str, [left, top, right, bottom]: [i32; 4]) {
        let (width, height) = (right - left, bottom - top);
        writeln!(
            self.0,
            r#"<rect class="{class}" x="{left}" y="{top}" width="{width}" height="{height}" rx="6"/>"#
        )
        .unwrap();
    }

    fn end(&mut self, (x, y): (i32, i32)) {
        writeln!(self.0, r#"<circle class="end" cx="{x}" cy="{y}" r="3.5"/>"#).unwrap();
    }
}

fn board(svg: &mut Svg) {
    let bottom = TOP + 26 + 20 * PITCH;
    svg.rect("board", [BOARD_LEFT, TOP, BOARD_RIGHT, bottom]);
    let middle = i32::midpoint(BOARD_LEFT, BOARD_RIGHT);
    svg.rect("box", [middle - 22, TOP - 14, middle + 22, TOP + 16]);
    svg.text((middle, TOP + 6), "middle", "small", "USB");
    svg.text((middle, bottom + 18), "middle", "small", "Raspberry Pi Pico, printed side up");
    let used: Vec<u8> = wires().iter().map(|(_, _, edge)| *edge).collect();
    for (edge, name) in (1..).zip(EDGE) {
        let (y, left) = place(edge);
        let class = if used.contains(&edge) { "used" } else { "small" };
        let (x, anchor, label) = match left {
            true => (BOARD_LEFT, "start", format!("{edge} {name}")),
            false => (BOARD_RIGHT, "end", format!("{name} {edge}")),
        };
        writeln!(svg.0, r#"<circle class="pin" cx="{x}" cy="{y}" r="5"/>"#).unwrap();
        svg.text((x + if left { 10 } else { -10 }, y + 4), anchor, class, &label);
    }
}

/// The heights between which the wires of a part lie.
fn span(part: Part, supply: bool) -> (i32, i32) {
    let wires = wires();
    let heights = || {
        wires
            .iter()
            .filter(|(of, mark, _)| *of == part && (supply || *mark != "VCC"))
            .map(|wire| place(wire.2).0)
    };
    (heights().min().unwrap(), heights().max().unwrap())
}

fn keys(svg: &mut Svg) {
    let (top, bottom) = span(Part::Keys, true);
    svg.text((RAIL - 20, top - 22), "start", "head", "Five keys");
    svg.path("ground", &[(RAIL, top), (RAIL, bottom)]);
    for (_, mark, edge) in wires().into_iter().filter(|(part, ..)| *part == Part::Keys) {
        let (y, left) = place(edge);
        assert!(left, "the keys are drawn on the left");
        if mark == "GND" {
            svg.path("ground", &[(BOARD_LEFT, y), (RAIL, y)]);
            svg.end((RAIL, y));
            continue;
        }
        svg.path("wire", &[(BOARD_LEFT, y), (LEFT_TERMINALS - 20, y)]);
        svg.path("wire", &[(LEFT_TERMINALS - 24, y - 9), (LEFT_TERMINALS - 66, y - 2)]);
        svg.path("ground", &[(LEFT_TERMINALS - 70, y), (RAIL, y)]);
        svg.end((LEFT_TERMINALS - 20, y));
        svg.end((LEFT_TERMINALS - 70, y));
        svg.text((LEFT_TERMINALS, y - 5), "start", "", mark);
    }
}

fn memory(svg: &mut Svg) {
    let (top, bottom) = span(Part::Memory, false);
    let (top, right) = (top - PITCH, LEFT_TERMINALS);
    svg.rect("box", [20, top - 40, right, bottom + 16]);
    svg.text((32, top - 20), "start", "head", "Memory");
    svg.text((32, top), "start", "small", "24xx256 EEPROM");
    svg.text((32, top + 16), "start", "small", "or FRAM, 32 KiB");
    svg.text((20, bottom + 34), "start", "small", "a clock chip, if you want one: the same four wires");
    for (_, mark, edge) in wires().into_iter().filter(|(part, ..)| *part == Part::Memory) {
        let (y, left) = place(edge);
        if mark == "VCC" {
            svg.path("supply", &[(right, top), (right + 30, top)]);
            svg.text((right + 36, top + 4), "start", "", &format!("3V3 (pin {edge})"));
            svg.text((right - 8, top + 4), "end", "used", mark);
            continue;
        }
        assert!(left, "the memory is drawn on the left");
        svg.path(if mark == "GND" { "ground" } else { "wire" }, &[(BOARD_LEFT, y), (right, y)]);
        svg.text((right - 8, y + 4), "end", "used", mark);
    }
}

fn display(svg: &mut Svg) {
    let (top, bottom) = span(Part::Display, false);
    let (top, left) = (top - PITCH, RIGHT_TERMINALS);
    svg.rect("box", [left, top - 46, 820, bottom + 16]);
    svg.text((left + 12, top - 26), "start", "head", "Display");
    for (line, text) in (0..).zip(["SSD1306 or", "SSD1309, SPI", "128 × 64"]) {
        svg.text((left + 70, top + 4 + 16 * line), "start", "small", text);
    }
    for (_, mark, edge) in wires().into_iter().filter(|(part, ..)| *part == Part::Display) {
        let (y, on_left) = place(edge);
        assert!(!on_left, "the display is drawn on the right");
        if mark == "VCC" {
            let beside = i32::midpoint(BOARD_RIGHT, left);
            svg.path("supply", &[(BOARD_RIGHT, y), (beside, y), (beside, top), (left, top)]);
            svg.text((beside + 10, y + 4), "start", "", "3V3, also to the memory's VCC");
            svg.text((left + 8, top + 4), "start", "used", mark);
            continue;
        }
        svg.path(if mark == "GND" { "ground" } else { "wire" }, &[(BOARD_RIGHT, y), (left, y)]);
        svg.text((left + 8, y + 4), "start", "used", mark);
    }
}

fn buzzer(svg: &mut Svg) {
    let (top, bottom) = span(Part::Buzzer, true);
    let (left, right) = (LEFT_TERMINALS + 15, LEFT_TERMINALS + 110);
    svg.rect("box", [left, top - 32, right, bottom + 12]);
    svg.text((left + 10, top - 14), "start", "head", "Buzzer");
    svg.text((left + 10, bottom + 4), "start", "small", "optional");
    for (_, mark, edge) in wires().into_iter().filter(|(part, ..)| *part == Part::Buzzer) {
        let (y, left) = place(edge);
        assert!(left, "the buzzer is drawn on the left");
        svg.path(if mark == "-" { "ground" } else { "wire" }, &[(BOARD_LEFT, y), (right, y)]);
        svg.text((right - 8, y + 4), "end", "used", mark);
    }
}

/// The whole drawing.
pub(crate) fn drawing() -> String {
    let mut svg = Svg(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" \
         height=\"{HEIGHT}\">\n<title>Wiring of the keypad on a Raspberry Pi Pico</title>\n<style>{STYLE}</style>\n\
         <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#fff\"/>\n"
    ));
    svg.text((20, 30), "start", "head", "Keypad on a Raspberry Pi Pico");
    svg.path("wire", &[(20, 48), (50, 48)]);
    svg.text((56, 52), "start", "small", "signal");
    svg.path("ground", &[(110, 48), (140, 48)]);
    svg.text((146, 52), "start", "small", "ground");
    svg.path("supply", &[(206, 48), (236, 48)]);
    svg.text((242, 52), "start", "small", "3.3 V");
    board(&mut svg);
    keys(&mut svg);
    memory(&mut svg);
    display(&mut svg);
    buzzer(&mut svg);
    svg.0 + "</svg>\n"
}
