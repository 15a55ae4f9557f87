//! What is kept of a defect across the restart that it asks for: where it was, and how many came one after the other.
//!
//! A board keeps [`WORDS`] words in a place that a restart does not clear. Its handler of panics and of faults calls
//! [`note`], stands still for as long as that says, and starts again; each start calls [`take`], logs what that gives, and
//! hands the number of restarts to [`Device::restarted`](crate::device::Device::restarted).
//!
//! Where a defect was is not known by name, which would cost 14 kB of flash. The calls that led there are taken from the
//! stack instead ([`calls`]): `addr2line -fiCe IMAGE ADDRESS…` names the places.
//!
//! Some defects return at once: the board would start again for ever, faster than anybody can read. So from the
//! [`MANY`]th start in a row that ended early it stands still longer and longer before the next, its display on.

/// How many places are kept of one.
pub const PLACES: usize = 4;

/// The words that a board keeps.
pub const WORDS: usize = 2 + PLACES;

/// A start that ended before ended early, in milliseconds.
pub const EARLY_MS: u64 = 30_000;

/// From so many in a row on it is told on the display, and the board stands still before it starts again.
pub const MANY: u8 = 3;

/// Below the sum of all the words, so that zeros keep nothing.
const SEAL: u32 = 0x6465_6665;

/// What sort of defect.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Trap {
    /// The program found it by itself.
    Panic,
    /// The processor refused to go on.
    Fault,
}

/// A defect that ended an earlier start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Defect {
    /// What it was.
    pub kind: Trap,
    /// Where it was and from where that was called, innermost first; zeros behind the last.
    pub places: [u32; PLACES],
    /// How many starts in a row it, or another, ended early; itself counts.
    pub in_a_row: u8,
}

/// Notes a defect of the start that has run for `ran_ms`. How long to stand still before starting again, in milliseconds.
pub fn note(words: &mut [u32; WORDS], kind: Trap, places: [u32; PLACES], ran_ms: u64) -> u32 {
    let before = read(words).filter(|_| ran_ms < EARLY_MS).map_or(0, |(before, _)| before.in_a_row);
    let in_a_row = before.saturating_add(1);
    write(words, &Defect { kind, places, in_a_row }, false);
    match in_a_row.checked_sub(MANY) {
        None => 0,
        // At most half a minute: about as long as somebody needs to come and read it. A board whose timer waits less does
        // what it can: a Pico eight seconds.
        Some(beyond) => 2000 << beyond.min(4),
    }
}

/// The defect that ended the start before; none where another reason did. What `words` hold after the power came on is
/// anything, and is taken for nothing.
pub fn take(words: &mut [u32; WORDS]) -> Option<Defect> {
    let (defect, _) = read(words).filter(|(_, told)| !told)?;
    write(words, &defect, true);
    Some(defect)
}

fn read(words: &[u32; WORDS]) -> Option<(Defect, bool)> {
    let [sealed, state, places @ ..] = *words;
    let [in_a_row, kind, told, _] = state.to_le_bytes();
    let kind = if kind == Trap::Panic as u8 { Trap::Panic } else { Trap::Fault };
    (sealed == seal(state, &places)).then_some((Defect { kind, places, in_a_row }, told != 0))
}

fn write(words: &mut [u32; WORDS], defect: &Defect, told: bool) {
    let state = u32::from_le_bytes([defect.in_a_row, defect.kind as u8, told.into(), 0]);
    let [a, b, c, d] = defect.places;
    *words = [seal(state, &defect.places), state, a, b, c, d];
}

fn seal(state: u32, places: &[u32; PLACES]) -> u32 {
    places.iter().fold(SEAL ^ state, |sum, word| sum.rotate_left(5).wrapping_mul(0x9e37_79b1) ^ word)
}

/// The calls that a stack of words, innermost first, knows of on a processor of the Cortex-M kind: from where each was made.
/// `before` gives the two halfwords of code that stand before an address, none where that is no code. A pointer to a function,
/// which a stack also holds, can be among them; what never returns keeps no address.
pub fn calls(
    stack: impl IntoIterator<Item = u32>,
    before: impl Fn(u32) -> Option<[u16; 2]>,
) -> impl Iterator<Item = u32> {
    stack.into_iter().filter_map(move |word| {
        // Thumb code: the lowest bit says so.
        let to = word & !1;
        let [first, second] = before(to).filter(|_| word != to)?;
        // A `bl` of two halfwords, or a `blx` of one (ARMv6-M and ARMv7-M reference manuals, A6.7.13, A6.7.14 and A7.7.18,
        // from memory, unconfirmed).
        let long = first & 0xf800 == 0xf000 && second & 0xd000 == 0xd000;
        (long || second & 0xff87 == 0x4780).then(|| to.wrapping_sub(2))
    })
}

/// The first of `places`; zeros behind the last.
pub fn first(places: impl IntoIterator<Item = u32>) -> [u32; PLACES] {
    let mut first = [0; PLACES];
    for (kept, place) in first.iter_mut().zip(places) {
        *kept = place;
    }
    first
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: [u32; PLACES] = [0x100, 0x2000, 0, 0];

    #[test]
    fn what_ended_a_start_is_told_once_at_the_next() {
        let mut words = [0; WORDS];
        assert_eq!(take(&mut words), None);
        assert_eq!(note(&mut words, Trap::Fault, AT, 100_000), 0);
        let told = Defect { kind: Trap::Fault, places: AT, in_a_row: 1 };
        assert_eq!(take(&mut words), Some(told));
        assert_eq!(take(&mut words), None, "another reason ended this one");
    }

    #[test]
    fn what_memory_holds_after_the_power_came_on_is_nothing() {
        let mut words = [0; WORDS];
        note(&mut words, Trap::Panic, AT, 0);
        for at in 0..WORDS * 32 {
            let mut words = words;
            words[at / 32] ^= 1 << (at % 32);
            assert_eq!(take(&mut words), None, "bit {at}");
        }
        for all in [0, u32::MAX, 0x5555_5555, 0xcccc_cccc] {
            assert_eq!(take(&mut [all; WORDS]), None);
        }
    }

    #[test]
    fn starts_that_end_early_one_after_the_other_are_slowed_down_and_one_that_lasts_ends_that() {
        let mut words = [0; WORDS];
        let pauses: [u32; 9] = core::array::from_fn(|_| {
            take(&mut words);
            note(&mut words, Trap::Panic, AT, EARLY_MS - 1)
        });
        assert_eq!(pauses, [0, 0, 2000, 4000, 8000, 16_000, 32_000, 32_000, 32_000]);
        assert_eq!(take(&mut words).map(|defect| defect.in_a_row), Some(9));
        assert_eq!(note(&mut words, Trap::Panic, AT, EARLY_MS), 0);
        assert_eq!(take(&mut words).map(|defect| defect.in_a_row), Some(1));
        (0..300).for_each(|_| assert!(note(&mut words, Trap::Panic, AT, 0) <= 32_000));
        assert_eq!(take(&mut words).map(|defect| defect.in_a_row), Some(u8::MAX));
    }

    #[test]
    fn only_what_follows_a_call_is_taken_for_one() {
        // From 0x100: `bl`, `blx r3`, a long instruction that is no call, `bx lr`.
        let code = [0xf000_u16, 0xf803, 0x4798, 0xf04f, 0x0000, 0x4770];
        let before = |to: u32| {
            let at = to.checked_sub(0x100)? as usize / 2;
            Some([*code.get(at.checked_sub(2)?)?, *code.get(at - 1)?])
        };
        let stack = [0x105, 0x104, 0x107, 0x10b, 0x10d, 0x9_0001, 0, u32::MAX];
        assert_eq!(first(calls(stack, before)), [0x102, 0x104, 0, 0]);
        assert_eq!(first([0x105; 9].into_iter().flat_map(|word| calls([word], before))), [0x102; 4]);
    }
}
