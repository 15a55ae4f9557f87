//! A record, line by line.

use super::field::length;
use super::number::{parts, whole};
use super::{Angles, Field, Header, Layer, Line, Pair, Reason, Refusal, Spacing, Values};
use crate::units::Length;

/// What a line says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event<'a> {
    /// A length for each eye.
    Pair(Field, Pair),
    /// `DBL`: the bridge, `None` when it is not known.
    Bridge(Option<Length>),
    /// The numbers of one eye begin.
    Begins(Header),
    /// Numbers of the block that has begun, those before this line counted in `first`.
    Values {
        /// The block they belong to.
        of: Header,
        /// How many came before.
        first: usize,
        /// The numbers.
        values: Values<'a>,
    },
    /// Angles of the block that has begun, those before this line counted in `first`.
    Angles {
        /// The block they belong to.
        of: Header,
        /// How many came before.
        first: usize,
        /// The angles.
        angles: Angles<'a>,
    },
    /// Anything else: to be kept and written back as it came.
    Kept {
        /// What stands before the first `=`.
        label: &'a str,
        /// What stands behind it.
        value: &'a str,
    },
}

/// The blocks of a record that were read to their end, right eye first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Traced {
    /// The radii.
    pub radius: [Option<Header>; 2],
    /// The depths.
    pub depth: [Option<Header>; 2],
}

/// The numbers under one header.
#[derive(Clone, Copy, Debug)]
struct Block {
    header: Header,
    line: u32,
    values: u32,
    angles: u32,
    last_angle: Option<i32>,
}

/// Reads a record line by line and remembers only what the next line needs.
///
/// ```
/// use bevelbook_core::frame::trace::{Event, Reader, lines};
/// let mut reader = Reader::default();
/// for line in lines("DBL=18.00\r\nTRCFMT=4;360;E;R;F\r\n") {
///     match reader.push(line) {
///         Ok(event) => assert!(matches!(event, Event::Bridge(Some(dbl)) if dbl.milli() == 18_000)),
///         Err(refusal) => assert_eq!((refusal.line, refusal.to_string().contains("format 4")), (2, true)),
///     }
/// }
/// ```
#[derive(Clone, Debug, Default)]
pub struct Reader {
    block: Option<Block>,
    /// Under a header that is not known: its numbers are its own.
    foreign: bool,
    /// Each header and its line, radii first, right eye first.
    seen: [[Option<(Header, u32)>; 2]; 2],
}

impl Reader {
    /// Reads the next line.
    ///
    /// # Errors
    /// The line is wrong, or the block that it ends is not whole; then the line is that of the block's header.
    /// A record with a refusal is not whole; reading on finds further ones, some of which follow from the first.
    pub fn push<'a>(&mut self, line: Line<'a>) -> Result<Event<'a>, Refusal> {
        let at = |reason| Refusal { line: line.number, reason };
        let (label, value) = line.text.split_once('=').ok_or_else(|| at(Reason::NoLabel))?;
        let name = label.trim();
        let kept = Event::Kept { label, value };
        let is = |other: &str| name.eq_ignore_ascii_case(other);
        if let Some(layer) = Layer::BOTH.into_iter().find(|layer| is(layer.header_label())) {
            return self.begin(layer, line.number, value);
        }
        for layer in Layer::BOTH {
            if is(layer.value_label()) || is(layer.angle_label()) {
                if self.foreign {
                    return Ok(kept);
                }
                let angles = is(layer.angle_label());
                return self.numbers(layer, angles, value).map_err(at);
            }
        }
        let end = name.len().checked_sub(3).and_then(|start| name.get(start..));
        if end.is_some_and(|end| end.eq_ignore_ascii_case("FMT")) {
            self.close()?;
            self.foreign = true;
            return Ok(kept);
        }
        if is("DBL") {
            return length("DBL", value, 1).map(Event::Bridge).map_err(at);
        }
        match Field::of(name) {
            Some(field) => Pair::read(field, value).map(|pair| Event::Pair(field, pair)).map_err(at),
            None => Ok(kept),
        }
    }

    /// Ends the record and says what it traced; an eye that is missing may be mirrored from the other.
    ///
    /// # Errors
    /// The last block has fewer numbers than its header says.
    pub fn finish(mut self) -> Result<Traced, Refusal> {
        self.close()?;
        let headers = |layer: usize| self.seen[layer].map(|seen| seen.map(|(header, _)| header));
        Ok(Traced { radius: headers(0), depth: headers(1) })
    }

    fn begin<'a>(&mut self, layer: Layer, line: u32, value: &str) -> Result<Event<'a>, Refusal> {
        let at = |reason| Refusal { line, reason };
        let header = Header::read(layer, value).map_err(at)?;
        let (of_layer, of_eye) = (layer as usize, header.eye.index());
        if let Some((_, first)) = self.seen[of_layer][of_eye] {
            return Err(at(Reason::Again { label: layer.header_label(), eye: header.eye, first }));
        }
        self.close()?;
        self.seen[of_layer][of_eye] = Some((header, line));
        self.block = Some(Block { header, line, values: 0, angles: 0, last_angle: None });
        self.foreign = false;
        Ok(Event::Begins(header))
    }

    /// Ends the block that has begun.
    fn close(&mut self) -> Result<(), Refusal> {
        let Some(block) = self.block.take() else { return Ok(()) };
        let Header { layer, eye, spacing, .. } = block.header;
        let expected = u32::from(block.header.points);
        let fewer = |label, found| Refusal {
            line: block.line,
            reason: Reason::Fewer { label, eye, expected, found },
        };
        if block.values < expected {
            return Err(fewer(layer.value_label(), block.values));
        }
        if spacing == Spacing::Unequal && block.angles < expected {
            return Err(fewer(layer.angle_label(), block.angles));
        }
        Ok(())
    }

    fn numbers<'a>(&mut self, layer: Layer, angles: bool, value: &'a str) -> Result<Event<'a>, Reason> {
        let label = if angles { layer.angle_label() } else { layer.value_label() };
        let block = self.block.as_mut().filter(|block| block.header.layer == layer);
        let block = block.ok_or(Reason::NoHeader { layer, label })?;
        let of = block.header;
        if angles && of.spacing == Spacing::Equal {
            return Err(Reason::AnglesUnderEqual { layer, header: block.line });
        }
        let before = if angles { block.angles } else { block.values };
        let (least, most) = if angles { (0, 35_999) } else { layer.range() };
        let mut last = block.last_angle;
        let mut count = 0;
        for part in parts(value) {
            count += 1;
            let number = whole(part).ok_or(Reason::NotWhole { label, position: count })?;
            if !(least..=most).contains(&number) {
                return Err(Reason::Range { label, position: count, value: number, least, most });
            }
            if let Some(before) = last.filter(|before| angles && number <= *before) {
                return Err(Reason::AngleOrder { label, position: count, value: number, before });
            }
            last = Some(number);
        }
        let (found, expected) = (before + count, u32::from(of.points));
        if found > expected {
            return Err(Reason::More { label, eye: of.eye, header: block.line, expected, found });
        }
        let first = before as usize;
        if angles {
            (block.angles, block.last_angle) = (found, last);
            return Ok(Event::Angles { of, first, angles: Angles(value) });
        }
        block.values = found;
        Ok(Event::Values { of, first, values: Values(value) })
    }
}
