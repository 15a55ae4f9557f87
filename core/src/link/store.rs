//! What the link asks of a keypad's memory.

use super::payload::HeldCard;
use super::{CardKept, Reason, Station};
use crate::record::{JobId, JournalId, Stored};

/// The memory did not do what it was asked to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", Reason::from(*self))]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum StoreError {
    /// Every card slot is taken by another job.
    CardsFull,
    /// Writing failed, what was read back differs, or nothing could be read.
    Memory,
    /// The card includes a record that was undone here behind what it includes.
    Undone,
}

impl From<StoreError> for Reason {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::CardsFull => Self::CardsFull,
            StoreError::Memory => Self::Memory,
            StoreError::Undone => Self::Undone,
        }
    }
}

/// Journal and cards as the link sees them. Every call may be repeated and then changes nothing more.
pub trait KeypadStore {
    /// The journal that records are written to. When it changes, the session ends and the host says hello again.
    fn journal(&self) -> JournalId;

    /// How often the keypad was started.
    fn boot(&self) -> u32;

    /// The number of the oldest record that can be read; [`KeypadStore::next`] when there is none.
    fn oldest(&self) -> u32;

    /// The number that the next record will get, from 1.
    fn next(&self) -> u32;

    /// Every record up to this one was acknowledged; 0 is none. Below [`KeypadStore::next`].
    fn acknowledged(&self) -> u32;

    /// The record of that number. `None` when it is lost, which the host then notes as a gap.
    ///
    /// # Errors
    /// The memory did not answer: that is no word about the record, and the host asks again.
    fn read(&mut self, seq: u32) -> Result<Option<Stored>, StoreError>;

    /// The host has committed every record up to `upto`, which is from [`KeypadStore::acknowledged`] to one below
    /// [`KeypadStore::next`].
    ///
    /// # Errors
    /// The mark was not written; the host will say it again.
    fn acknowledge(&mut self, upto: u32) -> Result<(), StoreError>;

    /// The revision of the [`Station`] that is held; 0 is none.
    fn station(&self) -> u32;

    /// Keeps what the host says of the station, in the place of what it said before.
    ///
    /// # Errors
    /// Writing failed; what was held before is still held.
    fn store_station(&mut self, station: &Station) -> Result<(), StoreError>;

    /// How many cards can be held.
    fn card_slots(&self) -> u8;

    /// The card in a slot, below [`KeypadStore::card_slots`].
    fn held(&mut self, slot: u8) -> Option<HeldCard>;

    /// Keeps `card`, in the place of an earlier one of the same job. `encoded` is what to keep, at most
    /// [`super::MAX_CARD`] bytes.
    ///
    /// # Errors
    /// There is no room, or writing failed; or what it includes was undone here since, and the host, which may not have heard of
    /// that, is to make it anew.
    fn store_card(&mut self, card: CardKept, encoded: &[u8]) -> Result<(), StoreError>;

    /// Forgets the card of `job`; there may be none.
    ///
    /// # Errors
    /// Writing failed.
    fn drop_card(&mut self, job: JobId) -> Result<(), StoreError>;
}
