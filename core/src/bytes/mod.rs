//! Values as bytes, in postcard's encoding.
//!
//! A type is declared once, by [`coded!`](coded): its serde shape, by which postcard writes it at both ends and JSON is made,
//! and how it is read follow from that declaration. Reading goes field by field into the value's place ([`Take`]), by
//! postcard's numbers, flags and texts; serde's visitors, of which each field of each type has one, would take a keypad four
//! times the flash. A field is added to the declaration and nowhere else. That every type is read as postcard itself reads
//! it, whatever the bytes are, is tested in `link/tests/shapes`.

mod coded;
mod put;
mod reader;
mod take;

pub(crate) use coded::coded;
pub(crate) use put::put;
pub(crate) use reader::Reader;
pub(crate) use take::{Take, taken};
