//! Who said what a record of the desk says: initials that stand beside the fields of its kind, in whichever kind.

use super::Desk;
use serde::Deserialize;

/// What every kind carries beside its own fields. A sign-off has it among them.
#[derive(Deserialize)]
struct SaidBy {
    #[serde(default)]
    by: Option<String>,
}

/// How the initials begin that are put in front of the end of a record's fields.
const BY: &[u8] = b"\"by\":";

impl Desk {
    /// Its fields as JSON, and the initials of whoever says so.
    ///
    /// # Errors
    /// As [`Desk::encode`].
    pub fn encode_by(&self, initials: Option<&str>) -> Result<Vec<u8>, serde_json::Error> {
        let mut bytes = self.encode()?;
        if let (Some(initials), false, Some(b'}')) = (initials, self.has_initials(), bytes.last()) {
            bytes.pop();
            if bytes.len() > 1 {
                bytes.push(b',');
            }
            bytes.extend_from_slice(BY);
            bytes.append(&mut serde_json::to_vec(initials)?);
            bytes.push(b'}');
        }
        Ok(bytes)
    }

    /// Whether its own fields tell who says so.
    #[must_use]
    pub const fn has_initials(&self) -> bool {
        matches!(self, Self::SignOff(_))
    }

    /// Whether it is said at a station, where there are several: what is said of stations is said at none of them.
    #[must_use]
    pub const fn is_said_at_a_station(&self) -> bool {
        self.is_said() && !matches!(self, Self::Naming(_) | Self::Placement(_))
    }

    /// Whether somebody says it: what a console puts down by itself nobody does.
    #[must_use]
    pub const fn is_said(&self) -> bool {
        match self {
            Self::Choices(_) | Self::Met(_) => false,
            Self::Placement(placement) => placement.upto.is_none(),
            _ => true,
        }
    }
}

/// The initials of whoever said what stored fields say.
#[must_use]
pub fn initials_in(bytes: &[u8]) -> Option<String> {
    // In a text the quotation marks would stand behind a stroke.
    let named = bytes.windows(BY.len()).any(|part| part == BY);
    named.then(|| serde_json::from_slice::<SaidBy>(bytes).ok()?.by).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::{Met, Note};
    use bevelbook_core::record::JournalId;

    #[test]
    fn initials_stand_beside_the_fields_and_former_records_have_none() {
        let note = Desk::Note(Note { text: "\"by\":\"XX\" pads".into() });
        let former = note.encode().unwrap();
        assert_eq!((initials_in(&former), note.encode_by(None).unwrap()), (None, former));
        let signed = note.encode_by(Some("E\"M")).unwrap();
        assert_eq!(initials_in(&signed).as_deref(), Some("E\"M"));
        assert_eq!(Desk::decode(note.kind(), &signed).unwrap(), note);
        let met = Met { journal: JournalId(1), boot: 1, ticks: 1, utc_ms: 1 };
        assert!(note.is_said() && !Desk::Met(met).is_said());
    }
}
