//! The words that both renderers say alike: the header and the sign of a tone.

use super::{Header, Lens, Line, Part, Tone};
use bevelbook_core::prescription::Eye;
use heapless::Vec;

/// What stands for the console and for the records that it has not got yet; for a moment, of a press that was not taken.
pub(super) fn link(header: &Header) -> Line {
    match (header.console, header.unsynced) {
        _ if header.too_fast => Line::new("too fast"),
        (true, 0) => Line::new("console"),
        (true, records) => Line::new(format_args!("{records} to send")),
        (false, 0) => Line::new("alone"),
        (false, records) => Line::new(format_args!("{records} held")),
    }
}

/// The job in at most `room` characters. A bare number is called `job 12` where there is room for that; a name that
/// had to be cut ends in `~`, so that no cut number passes for a whole one.
pub(super) fn job(header: &Header, room: usize) -> Line {
    let name = header.job.as_str();
    let length = name.chars().count();
    let number = name.starts_with(|first: char| first.is_ascii_digit());
    if name.is_empty() {
        return Line::new(if room < 6 { "" } else { "no job" });
    }
    if number && length + 4 <= room {
        return Line::new(format_args!("job {name}"));
    }
    if length <= room {
        return header.job.clone();
    }
    match room {
        0 => Line::default(),
        room => Line::new(format_args!("{name:.0$}~", room - 1)),
    }
}

/// An eye, where it is all there is.
pub(super) const fn eye(eye: Eye) -> &'static str {
    match eye {
        Eye::Right => "RIGHT",
        Eye::Left => "LEFT",
    }
}

/// The sign in front of a title: a tone is never told by colour alone.
pub(super) const fn sign(tone: Tone) -> &'static str {
    match tone {
        Tone::Plain => "",
        Tone::Warning => "! ",
        Tone::Refusal => "STOP ",
    }
}

/// A part of a prism as it shows.
pub(super) struct Shown {
    /// Its amount and its base.
    pub(super) words: Line,
    /// The way to its base on the display: to the right and up, or the other way; none of a part that is zero.
    pub(super) way: (i32, i32),
    /// Whether it is being changed.
    pub(super) changed: bool,
}

/// The parts of a lens's prism that show.
pub(super) fn parts(lens: &Lens, changed: Option<Part>) -> Vec<Shown, 2> {
    [Part::Across, Part::Upright].into_iter().filter_map(|part| shown(lens, part, changed)).collect()
}

#[inline(never)]
fn shown(lens: &Lens, part: Part, changed: Option<Part>) -> Option<Shown> {
    let (amount, [plus, minus]) = match part {
        Part::Across => (lens.prism.base_in, ["IN", "OUT"]),
        Part::Upright => (lens.prism.base_up, ["UP", "DOWN"]),
    };
    let sign = amount.milli().signum();
    let words = match sign {
        0 if changed.is_none() => return None,
        0 => Line::new(format_args!("0 {plus}/{minus}")),
        _ => Line::new(format_args!("{} {}", amount.abs(), if sign > 0 { plus } else { minus })),
    };
    let way = if part == Part::Across { (sign * lens.eye.inward(), 0) } else { (0, sign) };
    Some(Shown { words, way, changed: changed == Some(part) })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn job_in(name: &str, room: usize) -> std::string::String {
        job(&Header { job: Line::new(name), ..Header::default() }, room).as_str().into()
    }

    #[test]
    fn a_job_loses_its_word_before_its_number_and_a_cut_is_marked() {
        assert_eq!(job_in("12", 12), "job 12");
        assert_eq!(job_in("1234", 7), "1234");
        assert_eq!(job_in("1234", 3), "12~");
        assert_eq!(job_in("walk-in", 8), "walk-in");
        assert_eq!(job_in("1234", 0), "");
        assert_eq!(job_in("", 8), "no job");
        assert_eq!(job_in("", 2), "");
    }
}
