//! A card in pieces: taken apart on the host, put together on the keypad.

use super::card::{Card, MAX_CARD};
use super::payload::{CardPart, PART_BYTES};
use crate::record::JobId;
use heapless::Vec;

/// The most pieces of a card.
pub const MAX_PARTS: usize = MAX_CARD.div_ceil(PART_BYTES);

/// The pieces of one card.
#[derive(Clone, Debug)]
pub struct CardParts {
    job: JobId,
    revision: u32,
    bytes: Vec<u8, MAX_CARD>,
}

impl CardParts {
    /// Takes `card` apart.
    pub fn new(card: &Card) -> Self {
        Self { job: card.job, revision: card.revision, bytes: card.encode() }
    }

    /// The job of the card.
    pub const fn job(&self) -> JobId {
        self.job
    }

    /// The revision of the card.
    pub const fn revision(&self) -> u32 {
        self.revision
    }

    /// How many pieces there are, 1 to [`MAX_PARTS`].
    pub fn count(&self) -> u8 {
        self.bytes.len().div_ceil(PART_BYTES) as u8
    }

    /// Piece number `part`, from 0.
    pub fn part(&self, part: u8) -> Option<CardPart> {
        let data = self.bytes.chunks(PART_BYTES).nth(usize::from(part))?;
        let data = Vec::from_slice(data).ok()?;
        Some(CardPart { job: self.job, revision: self.revision, part, parts: self.count(), data })
    }

    /// Every piece in order.
    pub fn iter(&self) -> impl Iterator<Item = CardPart> {
        (0..self.count()).filter_map(|part| self.part(part))
    }
}

/// What became of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Joined {
    /// It was taken, or had been taken before.
    Part,
    /// It was the last one: the card is whole. Repeated until [`CardJoiner::close`] is called.
    Whole,
    /// It had been taken before, and the card was closed.
    Closed,
    /// It does not continue the card in hand; a card begins with piece 0.
    OutOfOrder,
    /// Its numbers are impossible.
    Malformed,
}

/// Puts one card at a time together. Piece 0 of another card or revision begins anew; repeats change nothing.
#[derive(Clone, Debug, Default)]
pub struct CardJoiner {
    /// Job, revision and number of pieces of the card in hand.
    card: Option<(JobId, u32, u8)>,
    taken: u8,
    closed: bool,
    bytes: Vec<u8, MAX_CARD, u16>,
}

impl CardJoiner {
    /// With no card in hand.
    pub const fn new() -> Self {
        Self { card: None, taken: 0, closed: false, bytes: Vec::new() }
    }

    /// Takes a piece.
    pub fn take(&mut self, piece: &CardPart) -> Joined {
        let last = piece.parts.checked_sub(1).is_some_and(|last| piece.part == last);
        if piece.part >= piece.parts
            || usize::from(piece.parts) > MAX_PARTS
            || (!last && piece.data.len() != PART_BYTES)
        {
            return Joined::Malformed;
        }
        let card = Some((piece.job, piece.revision, piece.parts));
        if self.card != card {
            if piece.part != 0 {
                return Joined::OutOfOrder;
            }
            *self = Self { card, ..Self::new() };
        }
        let repeat = piece.part < self.taken;
        if repeat && !self.repeats(piece) {
            // The host has made another card of the same name, after a restart of its own.
            *self = Self { card, ..Self::new() };
            if piece.part != 0 {
                self.forget();
                return Joined::OutOfOrder;
            }
        } else if !repeat && piece.part > self.taken {
            return Joined::OutOfOrder;
        }
        if piece.part == self.taken {
            if self.bytes.extend_from_slice(&piece.data).is_err() {
                self.forget();
                return Joined::Malformed;
            }
            self.taken += 1;
        }
        match (last, self.closed) {
            (true, false) => Joined::Whole,
            (true, true) => Joined::Closed,
            _ => Joined::Part,
        }
    }

    /// The bytes of the card in hand; all of them after [`Joined::Whole`].
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The card in hand was stored; repeats of its pieces need not be stored again.
    pub fn close(&mut self) {
        self.closed = true;
    }

    /// Nothing is in hand any more.
    pub fn forget(&mut self) {
        *self = Self::new();
    }

    fn repeats(&self, piece: &CardPart) -> bool {
        let start = usize::from(piece.part) * PART_BYTES;
        self.bytes.get(start..start + piece.data.len()) == Some(&piece.data)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::sample::card;
    use super::*;
    use crate::record::{Bench, Check, CheckItem, Entered, Subject};

    fn pieces(job: u64, revision: u32) -> std::vec::Vec<CardPart> {
        let parts = CardParts::new(&card(job, revision));
        assert!(parts.count() >= 2 && usize::from(parts.count()) <= MAX_PARTS);
        parts.iter().collect()
    }

    #[test]
    fn pieces_in_order_make_the_card_and_repeats_change_nothing() {
        let mut joiner = CardJoiner::new();
        let pieces = pieces(1, 7);
        let (last, first) = pieces.split_last().unwrap();
        for piece in first {
            assert_eq!(joiner.take(piece), Joined::Part);
            assert_eq!(joiner.take(&pieces[0]), Joined::Part);
            assert_eq!(joiner.take(piece), Joined::Part);
        }
        assert_eq!(joiner.take(last), Joined::Whole);
        assert_eq!(joiner.take(last), Joined::Whole, "storing failed: it is tried again");
        assert_eq!(Card::decode(joiner.bytes()), Ok(card(1, 7)));
        joiner.close();
        assert_eq!(joiner.take(last), Joined::Closed);
        assert_eq!(joiner.take(&pieces[0]), Joined::Part);
        assert_eq!(Card::decode(joiner.bytes()), Ok(card(1, 7)));
    }

    #[test]
    fn a_missing_piece_or_one_of_another_card_is_refused() {
        let (one, other) = (pieces(1, 7), pieces(1, 8));
        let mut joiner = CardJoiner::new();
        assert_eq!(joiner.take(&one[1]), Joined::OutOfOrder);
        assert_eq!(joiner.take(&one[0]), Joined::Part);
        assert_eq!(joiner.take(&other[1]), Joined::OutOfOrder);
        if one.len() > 2 {
            assert_eq!(joiner.take(&one[2]), Joined::OutOfOrder);
        }
        assert_eq!(joiner.take(&other[0]), Joined::Part, "the later revision takes over");
        assert_eq!(joiner.take(&one[1]), Joined::OutOfOrder);
        for piece in &other[1..] {
            joiner.take(piece);
        }
        assert_eq!(Card::decode(joiner.bytes()), Ok(card(1, 8)));
    }

    #[test]
    fn impossible_numbers_are_refused() {
        let mut joiner = CardJoiner::new();
        let good = pieces(1, 7).remove(0);
        for (part, parts) in [(0, 0), (3, 3), (0, 255)] {
            assert_eq!(joiner.take(&CardPart { part, parts, ..good.clone() }), Joined::Malformed);
        }
        let data = Vec::from_slice(&good.data[1..]).unwrap();
        assert_eq!(joiner.take(&CardPart { data, ..good }), Joined::Malformed);
    }

    #[test]
    fn another_card_of_the_same_name_begins_anew() {
        let mut joiner = CardJoiner::new();
        for piece in pieces(1, 7) {
            joiner.take(&piece);
        }
        joiner.close();
        let mut changed = card(1, 7);
        changed.number = 12;
        let changed_pieces: std::vec::Vec<_> = CardParts::new(&changed).iter().collect();
        assert_eq!(joiner.take(&changed_pieces[0]), Joined::Part);
        for piece in &changed_pieces[1..] {
            joiner.take(piece);
        }
        assert_eq!(Card::decode(joiner.bytes()), Ok(changed));
    }

    #[test]
    fn a_card_that_differs_only_at_its_end_is_asked_for_from_its_beginning() {
        let mut changed = card(1, 7);
        let of = Subject::Pair(changed.state.pair);
        changed.state.apply(&Bench::Check(Check {
            entered: Entered::READ,
            of,
            item: CheckItem::Alignment,
            good: true,
        }));
        let changed_pieces: std::vec::Vec<_> = CardParts::new(&changed).iter().collect();
        let mut joiner = CardJoiner::new();
        for piece in pieces(1, 7) {
            joiner.take(&piece);
        }
        joiner.close();
        let (last, before) = changed_pieces.split_last().unwrap();
        assert!(!before.is_empty());
        before.iter().for_each(|piece| assert_eq!(joiner.take(piece), Joined::Part));
        assert_eq!(joiner.take(last), Joined::OutOfOrder);
        before.iter().for_each(|piece| assert_eq!(joiner.take(piece), Joined::Part));
        assert_eq!(joiner.take(last), Joined::Whole);
        assert_eq!(Card::decode(joiner.bytes()), Ok(changed));
    }
}
