//! The trace of a frame, as an order keeps it: lines of a frame record that say what the frame is, as they came.
//!
//! Kept are the shape (`TRCFMT`, `R`, `A`), its depths (`ZFMT`, `Z`, `ZA`), the bridge (`DBL`) and what the record
//! states of the shape (`HBOX`, `VBOX`, `FED`, `CIRC`). Everything else, a person's name, measures and powers among it,
//! is left out and never reaches the book; only how many labels that were is kept.

use crate::trace::{Trace, TraceError};
use bevelbook_core::frame::trace::{Event, Field, Reader, lines};
use bevelbook_core::frame::{Boxed, FrameSize};
use bevelbook_core::prescription::Eye;
use bevelbook_core::units::Length;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::path::Path;

/// The lines of a frame record that an order keeps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FrameTrace {
    /// The lines, as they came, without their ends.
    lines: Vec<String>,
    /// How many other labels the record had.
    left_out: u32,
}

impl FrameTrace {
    /// What an order keeps of a record; `file` is what errors call it.
    ///
    /// # Errors
    /// As [`Trace::parse`].
    pub fn of(text: &str, file: &Path) -> Result<Self, TraceError> {
        Trace::parse(text, file)?;
        let mut reader = Reader::default();
        let (mut kept, mut left_out) = (Vec::new(), BTreeSet::new());
        for line in lines(text) {
            // The record has just been read without a refusal.
            let Ok(event) = reader.push(line) else { continue };
            match frame_fact(&event, line.text) {
                Some(fact) => kept.push(fact),
                None => {
                    let label = line.text.split_once('=').map_or(line.text, |(label, _)| label);
                    left_out.insert(label.trim().to_uppercase());
                }
            }
        }
        let left_out = u32::try_from(left_out.len()).unwrap_or(u32::MAX);
        Ok(Self { lines: kept, left_out })
    }

    /// The shapes of both eyes.
    ///
    /// # Errors
    /// As [`Trace::parse`]; lines that were kept have been read before.
    pub fn read(&self) -> Result<Trace, TraceError> {
        Trace::parse(&self.lines.join("\n"), Path::new("the trace in the order"))
    }

    /// The lines, as they came.
    pub fn lines(&self) -> &[String] {
        &self.lines
    }

    /// How many other labels the record had.
    pub const fn left_out(&self) -> u32 {
        self.left_out
    }
}

/// The line to keep, if it says what the frame is.
fn frame_fact(event: &Event<'_>, line: &str) -> Option<String> {
    const STATED: [Field; 4] = [Field::BoxWidth, Field::BoxHeight, Field::EffectiveDiameter, Field::Girth];
    match event {
        Event::Bridge(_) | Event::Values { .. } | Event::Angles { .. } => Some(line.to_owned()),
        Event::Pair(field, _) => STATED.contains(field).then(|| line.to_owned()),
        // The last field of a header is a letter; what is longer may say anything, and only its letter is kept.
        Event::Begins(header) if !letter_alone(line) => {
            Some(format!("{}={header}", header.layer.header_label()))
        }
        Event::Begins(_) => Some(line.to_owned()),
        Event::Kept { .. } => None,
    }
}

fn letter_alone(header: &str) -> bool {
    header.split(';').nth(4).is_none_or(|kind| kind.trim().chars().count() <= 1)
}

/// The boxed sizes of both eyes as sizes of one frame: the mean width and height, and the greater effective diameter.
/// A mean is cut to the micrometre.
pub fn sizes_of(trace: &Trace, dbl: Length) -> Option<FrameSize> {
    let boxed = |eye| trace.shape(eye).outline().ok().map(|outline| outline.boxed());
    let [right, left]: [Boxed; 2] = [boxed(Eye::Right)?, boxed(Eye::Left)?];
    let mean = |one: Length, other: Length| Length::from_milli((one + other).milli().midpoint(0));
    let (a, b) = (mean(right.a, left.a), mean(right.b, left.b));
    // An effective diameter is never below a side; a mean may be, by its rounding.
    Some(FrameSize { a, b, dbl, ed: Some(right.ed.max(left.ed).max(a).max(b)) })
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// A record made up for this project.
    pub(crate) const RECORD: &str = include_str!("../../../core/tests/vectors/record.txt");

    pub(crate) fn kept(text: &str) -> FrameTrace {
        FrameTrace::of(text, Path::new("frame.txt")).unwrap()
    }

    #[test]
    fn the_lines_of_the_frame_are_kept_as_they_came() {
        let trace = kept(RECORD);
        let own: Vec<&str> = RECORD.lines().filter(|line| !line.starts_with("JOB=")).collect();
        assert_eq!(trace.lines(), own);
        assert_eq!(trace.left_out(), 1);
    }

    #[test]
    fn names_and_measures_of_a_person_are_left_out() {
        let text = format!(
            "CLIENT=Ada Invented\nclient=Ada Invented\nIPD=31.5;31\nSEGHT=18;18\n{}",
            RECORD.replace(";R;F", ";R;F Ada Invented")
        );
        let trace = kept(&text);
        assert!(!trace.lines().iter().any(|line| line.contains("Ada") || line.contains("31.5")));
        assert!(trace.lines().contains(&"TRCFMT=1;36;E;R;F".to_owned()));
        // CLIENT, IPD, SEGHT and JOB.
        assert_eq!(trace.left_out(), 4);
        // A ring of thickness has numbers under the labels of a trace: they are not the shape's.
        let ring = format!("{RECORD}STHKFMT=1;2;E;R\nR=2000;2000\nT=200;200\n");
        assert_eq!((kept(&ring).lines().len(), kept(&ring).left_out()), (trace.lines().len(), 4));
    }

    #[test]
    fn what_is_kept_reads_as_the_record_did() {
        let [before, after] =
            [Trace::parse(RECORD, Path::new("frame.txt")).unwrap(), kept(RECORD).read().unwrap()];
        for eye in Eye::BOTH {
            assert_eq!(before.shape(eye).points, after.shape(eye).points);
            assert_eq!(before.stated_girth(eye).unwrap(), after.stated_girth(eye).unwrap());
        }
        assert_eq!((before.dbl(), after.notes().len()), (after.dbl(), 0));
        // The box of its points, ISO 8624: worked out beside the record when it was made up.
        let size = sizes_of(&after, Length::from_milli(18_000)).unwrap();
        assert_eq!((size.a.milli(), size.b.milli()), (50_400, 38_092));
        assert!(size.ed.unwrap() > size.a);
    }
}
