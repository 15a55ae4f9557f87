//! Where everything stands on the screen.
//!
//! From the top: the line to the keypad, the job, the next step; both lenses side by side, and the pair; below, the
//! keypad on this screen and what came in; the keys in the last row. Where rows are short, what is least needed of a lens is
//! left out; below [`LEAST`] nothing is shown but that.

use super::pair::Lens;
use super::shown::{KEYS, Mode, Shown};
use crate::cli::page::wrapped;
use crate::cli::paint::{Paint, Said, Tone};
use bevelbook_keypad::screen::{COLUMNS, text::ROWS};
use ratatui::buffer::Buffer;
use ratatui::layout::{Rect, Size};

/// The least terminal, columns and rows.
pub(super) const LEAST: Size = Size { width: 60, height: 16 };

/// Rows that are always there: line, job, next step, keys.
const FIXED: u16 = 4;

/// As many rows as the lenses and the pair have a use for.
const LENSES: u16 = 18;

/// Rows of what came in, with its heading, where no keypad stands beside it.
const CAME: u16 = 5;

pub(super) fn draw(shown: &Shown, paint: Paint, buffer: &mut Buffer) {
    let area = buffer.area;
    if paint.is_too_small(buffer, LEAST) {
        return;
    }
    let width = area.width;
    top(shown, paint, buffer);
    if shown.mode == Mode::Help {
        help(paint, buffer);
    } else {
        let band = if shown.keypad.is_some() { 1 + ROWS as u16 } else { CAME };
        let lenses = (area.height - FIXED - band).min(LENSES);
        let at = Rect::new(0, FIXED - 1, width, lenses);
        pair(shown, paint, buffer, at);
        let below = FIXED - 1 + lenses;
        came(shown, paint, buffer, Rect::new(0, below, width, area.height - 1 - below));
    }
    paint.put(buffer, (0, area.height - 1), width, &[Said::new(Tone::Bar, keys(shown, width.into()))]);
}

/// As many of the keys as there is room for, behind what is asked.
fn keys(shown: &Shown, width: usize) -> String {
    let keys = shown.keys();
    let mut row = String::new();
    if let Some(question) = shown.question() {
        let room = width.saturating_sub(2 + keys.iter().map(|key| key.chars().count() + 3).sum::<usize>());
        let dots = if question.chars().count() > room { "…" } else { "" };
        row = format!(" {}{dots}  ", question.chars().take(room).collect::<String>());
    }
    for key in keys {
        let room = width.saturating_sub(row.chars().count());
        if key.chars().count() < room {
            row = format!("{row} {key}  ");
        }
    }
    format!("{row:<width$}")
}

fn top(shown: &Shown, paint: Paint, buffer: &mut Buffer) {
    let width = buffer.area.width;
    let mut line = vec![Said::new(Tone::Strong, "bench  ")];
    for (at, link) in shown.links.iter().enumerate() {
        line.extend((at > 0).then(|| Said::plain("   ")));
        line.push(link.clone());
    }
    paint.put(buffer, (0, 0), width, &line);
    paint.put(buffer, (0, 1), width, &[Said::plain(&shown.pair.heading)]);
    paint.put(buffer, (0, 2), width, std::slice::from_ref(&shown.pair.next));
}

fn pair(shown: &Shown, paint: Paint, buffer: &mut Buffer, area: Rect) {
    let broken = shown.pair.together.iter().flat_map(|said| broken(said, area.width.into()));
    let together: Vec<Said> = broken.collect();
    // The verdict always, the rest where there is room.
    let rows = match (&shown.pair.eyes, area.height) {
        (None, all) => all as usize,
        (Some(_), 0..=10) => 1,
        (Some(_), 11..=14) => 2,
        (Some(_), _) => 4,
    };
    let eyes_high = match &shown.pair.eyes {
        Some(_) => area.height - (rows.min(together.len()) as u16).min(area.height),
        None => 0,
    };
    let half = (area.width - 1) / 2;
    for (at, lens) in shown.pair.eyes.iter().flatten().enumerate() {
        let x = if at == 0 { 0 } else { area.width - half };
        let rows = lens_rows(lens, half.into(), eyes_high.into());
        for (y, row) in (area.y..area.y + eyes_high).zip(&rows) {
            paint.put(buffer, (x, y), half, row);
        }
    }
    for (y, said) in (area.y + eyes_high..area.bottom()).zip(&together) {
        paint.put(buffer, (0, y), area.width, std::slice::from_ref(said));
    }
}

/// The rows of one lens: at least its heading with its order, its size and the fit; then its readings, the gauge, the passes.
fn lens_rows(lens: &Lens, width: usize, height: usize) -> Vec<Vec<Said>> {
    let mark = if lens.in_hand { "▶" } else { " " };
    let heading = format!("─{mark}{} ", lens.heading);
    let ruler = "─".repeat(width.saturating_sub(heading.chars().count()));
    let heading = vec![Said::new(Tone::Strong, heading + &ruler)];
    let size = (!lens.size.is_empty()).then(|| vec![Said::plain(&lens.size)]);
    let why = lens.why.as_ref().map(|[long, brief]| if long.chars().count() > width { brief } else { long });
    let why = why.map(|why| vec![Said::plain(why)]);
    let gauge = lens.gauge.as_ref().map(|gauge| gauge.rows(width));
    let legend = gauge.as_ref().map(|[.., legend]| legend.clone()).filter(|legend| !legend.is_empty());
    let ordered = vec![Said::plain(&lens.ordered)];
    let mut rows = vec![heading];
    match height {
        0..=4 => rows.extend(legend.or(size)),
        5..=7 => rows.extend([Some(ordered), size, why, legend].into_iter().flatten()),
        _ => {
            rows.extend([Some(ordered), size, why].into_iter().flatten());
            rows.extend(gauge.into_iter().flatten().filter(|row| !row.is_empty()));
        }
    }
    let room = height.saturating_sub(rows.len());
    let read = if lens.read.len() <= room { &lens.read } else { &lens.brief };
    let for_passes = room.saturating_sub(read.len()).min(lens.passes.len());
    let earlier = lens.passes.len() - for_passes;
    rows.extend(lens.passes[earlier..].iter().map(|pass| vec![Said::plain(pass)]));
    rows.extend(read.iter().map(|said| vec![said.clone()]));
    rows
}

fn came(shown: &Shown, paint: Paint, buffer: &mut Buffer, area: Rect) {
    let keypad_wide = if shown.keypad.is_some() { COLUMNS as u16 + 3 } else { 0 };
    let mut ruler = String::new();
    if shown.keypad.is_some() {
        ruler = format!("{:─<1$}┬", "─ keypad ", usize::from(keypad_wide - 1));
    }
    ruler += "─ came in ";
    let ruler = format!("{ruler:─<0$}", usize::from(area.width));
    paint.put(buffer, (0, area.y), area.width, &[Said::plain(ruler)]);
    let rows = area.y + 1..area.bottom();
    for (y, row) in rows.clone().zip(shown.keypad.iter().flatten()) {
        paint.put(buffer, (1, y), keypad_wide - 2, &[Said::plain(row)]);
    }
    if keypad_wide > 0 {
        for y in rows.clone() {
            paint.put(buffer, (keypad_wide - 1, y), 1, &[Said::plain("│")]);
        }
    }
    let width = area.width - keypad_wide;
    let lines: Vec<Said> = shown.came.iter().flat_map(|said| broken(said, width.into())).collect();
    let first = lines.len().saturating_sub(rows.len());
    for (y, line) in rows.zip(&lines[first..]) {
        paint.put(buffer, (keypad_wide, y), width, std::slice::from_ref(line));
    }
}

/// A piece of text in rows.
fn broken(said: &Said, width: usize) -> Vec<Said> {
    let lines = wrapped("", said.text.split(' '), 4, width);
    lines.into_iter().map(|line| Said::new(said.tone, line)).collect()
}

fn help(paint: Paint, buffer: &mut Buffer) {
    let width = buffer.area.width;
    for (y, (keys, does)) in (FIXED..).zip(KEYS) {
        let row = [Said::new(Tone::Strong, format!(" {keys:<15}")), Said::plain(does)];
        paint.put(buffer, (0, y), width, &row);
    }
}
