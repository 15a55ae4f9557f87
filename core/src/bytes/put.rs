//! Writing, by postcard.

use postcard::ser_flavors::Flavor;
use postcard::{Error, Result, Serializer};
use serde::Serialize;

/// Where bytes go. What finds no room is counted and told at the end: where no single byte can fail, nothing is checked
/// behind each field.
struct Room<'b> {
    bytes: &'b mut [u8],
    used: usize,
}

impl Flavor for Room<'_> {
    type Output = usize;

    #[inline(never)]
    fn try_push(&mut self, byte: u8) -> Result<()> {
        if let Some(place) = self.bytes.get_mut(self.used) {
            *place = byte;
        }
        self.used += 1;
        Ok(())
    }

    #[inline(never)]
    fn try_extend(&mut self, bytes: &[u8]) -> Result<()> {
        bytes.iter().try_for_each(|byte| self.try_push(*byte))
    }

    fn finalize(self) -> Result<usize> {
        if self.used <= self.bytes.len() { Ok(self.used) } else { Err(Error::SerializeBufferFull) }
    }
}

/// The bytes of `value`, at the front of `buffer`.
///
/// # Errors
/// They do not fit.
pub(crate) fn put<'b, T: Serialize>(value: &T, buffer: &'b mut [u8]) -> Result<&'b [u8]> {
    let mut serializer = Serializer { output: Room { bytes: buffer, used: 0 } };
    value.serialize(&mut serializer)?;
    let used = serializer.output.finalize()?;
    Ok(&buffer[..used])
}
