//! The keypad's memory: the only copy of a day's facts until a console has them.
//!
//! It lies on 64-byte [`Pages`] (an EEPROM of the 24LC256 class has 512; FRAM is laid out alike), divided by a
//! [`Layout`]. A power cut may spoil the page that is being written, and nothing else; everything below follows from
//! that.
//!
//! - **Records** ([`Memory::append`]): one to a page, so that a cut spoils one. A record is *saved* when it is
//!   written, read back and the same. Nothing is overwritten before a console acknowledged it
//!   ([`Memory::acknowledge`]); when there is no room left the memory says so and refuses, and keeps [`RESERVE`] pages
//!   for finishing the lens in hand. A number is never given twice; one that cannot be used stays a gap.
//! - **Marks**: how far was acknowledged, and the boot number. A hint: losing it loses no record.
//! - **Identity**: the journal's id, without which no record can be verified, kept apart from what is rewritten.
//! - **The station** ([`Memory::store_station`]): what the console says of it, for every job.
//! - **Cards** ([`Memory::store_card`]): what the console says about a job, opaque here. A card is replaced whole or not
//!   at all.
//!
//! Opening ([`Memory::open`]) looks at every page and reports what it found ([`Recovery`]); it never formats. A new
//! journal is begun by an explicit call ([`Memory::begin`]).
//!
//! Read it bottom up: `pages`, `seal`, `layout`; `record`, `identity`, `marks`; `journal`, `append`, `recovery`; `cards`;
//! `open`, `begin`, `unopened`, `whole`. [`eeprom`] is the chip on an I2C bus; [`faults`] is the fault model that the
//! tests trust.

mod append;
mod begin;
mod cards;
mod dating;
pub mod eeprom;
pub mod faults;
mod identity;
mod intake;
mod journal;
mod layout;
mod marks;
mod open;
mod pages;
mod record;
mod recovery;
mod seal;
mod statement;
mod subjects;
mod turns;
mod unopened;
mod voids;
mod whole;

#[cfg(test)]
mod tests;

pub use append::AppendError;
pub use begin::{BeginError, Consent};
pub use cards::{CardError, CardInfo};
pub use journal::Urgency;
pub use layout::{LEAST_JOURNAL, Layout, LayoutError, MAX_CARD_SLOTS, MOST_JOURNAL, RESERVE};
pub use marks::MARK_EVERY;
pub use open::{BOOT_LEAP, OpenError};
pub use pages::{PAGE, Page, Pages};
pub use recovery::{Damage, JournalFound, LISTED, Recovery};
pub use subjects::Subject;
pub use unopened::Unopened;
pub use whole::{AcknowledgeError, Memory};

use identity::Identity;
