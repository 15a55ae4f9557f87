//! The kinds and their codes.

use super::{Amendment, Choices, JudgedBy, Making, Order, Segments, Settlement};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Cause, FIRST_DESK_KIND, JobId, JournalId, StationId};
use bevelbook_core::tolerance::Verdict;
use bevelbook_core::units::Length;
use serde::{Deserialize, Serialize};

/// A lens came in from the supplier.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Arrival {
    /// For which eye.
    pub eye: Eye,
    /// The number of the lens for that eye.
    pub lens: u8,
    /// The diameter of its blank.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blank: Option<Length>,
    /// What came: supplier, base curve; the shop's words.
    #[serde(default)]
    pub what: String,
}

/// A remark on a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Note {
    /// The shop's words.
    pub text: String,
}

/// Who is charged for a remake.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum Bearer {
    /// The shop.
    Shop,
    /// Whoever supplied the lens.
    Supplier,
    /// Whoever wrote the prescription.
    Prescriber,
    /// The customer.
    Customer,
}

impl Bearer {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Shop => "charged to the shop",
            Self::Supplier => "charged to the supplier",
            Self::Prescriber => "charged to the prescriber",
            Self::Customer => "charged to the customer",
        }
    }
}

/// A lens is made again: its eye goes on with a new lens.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Remake {
    /// Which eye.
    pub eye: Eye,
    /// The number of the new lens for that eye.
    pub lens: u8,
    /// Why.
    pub cause: Cause,
    /// Who bears the cost.
    pub bearer: Bearer,
    /// What happened, in the shop's words.
    #[serde(default)]
    pub story: String,
}

/// Someone looked at the verdict and put their name to it. The one derived thing that is kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignOff {
    /// Initials of who signs.
    pub by: String,
    /// What it was judged by.
    pub standard: JudgedBy,
    /// The version of that table.
    pub table_version: u16,
    /// The verdict at that time.
    pub verdict: Verdict,
    /// The lens numbers that it was given for, right and left.
    pub lenses: [u8; 2],
    /// Why it was signed although it is not within.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub despite: Option<String>,
}

/// The job is over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Closing {
    /// How it ended: handed over, cancelled; the shop's words.
    pub how: String,
    /// The verdict that was signed, or that the pair would have had; kept like that of a sign-off. None in former records.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// Why it was closed although it was no pair signed off within.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub despite: Option<String>,
}

/// Why a closed job is opened again without a new lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, clap::ValueEnum)]
#[serde(rename_all = "kebab-case")]
pub enum ReopenedFor {
    /// The frame needs adjusting on the wearer.
    Adjustment,
    /// The wearer is not happy with them.
    Complaint,
    /// It was closed by mistake.
    Mistake,
    /// Anything else.
    Other,
}

impl ReopenedFor {
    /// In words, behind "opened again".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Adjustment => "for an adjustment",
            Self::Complaint => "on a complaint",
            Self::Mistake => "since it was closed by mistake",
            Self::Other => "for another reason",
        }
    }
}

/// A closed job is open again, at the lenses that it was at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reopening {
    /// What for.
    #[serde(rename = "for")]
    pub reason: ReopenedFor,
    /// Why, in the shop's words.
    pub why: String,
}

/// A job that was opened at the bench belongs to this order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filing {
    /// The job as the bench opened it.
    pub from: JobId,
}

/// A keypad is one of this shop's.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Adoption {
    /// Its journal.
    pub journal: JournalId,
    /// What the shop calls it.
    pub name: String,
}

/// A keypad was met: its starts and its ticks beside a console's clock. It is put down with what was logged in a start that no
/// console met, which was made between two such moments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Met {
    /// The keypad's journal.
    pub journal: JournalId,
    /// How often it was started.
    pub boot: u32,
    /// Milliseconds since that start.
    pub ticks: u32,
    /// The console's clock, in milliseconds since 1970-01-01 UTC.
    pub utc_ms: i64,
}

/// A station is called so; a later one names it anew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Naming {
    /// Which.
    pub station: StationId,
    /// What the shop calls it.
    pub name: String,
}

/// Records of a journal speak for a station: of a keypad that stands at it, of a console where its work is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Placement {
    /// The journal.
    pub journal: JournalId,
    /// The first of those records, by its number.
    pub from: u32,
    /// The last; none where whatever comes is one of them too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub upto: Option<u32>,
    /// For which station.
    pub station: StationId,
}

impl Desk {
    /// The code of a filing, by which filings are found.
    pub const FILING: u8 = FIRST_DESK_KIND + 7;
    /// The code of a settlement, by which settlements are found.
    pub const SETTLEMENT: u8 = FIRST_DESK_KIND + 12;
    /// The code of a station's name: where there is none, the shop has one station and calls it nothing.
    pub const NAMING: u8 = FIRST_DESK_KIND + 15;
}

/// Stored bytes that are no record of the console's.
#[derive(Debug, thiserror::Error)]
pub enum DeskError {
    /// This version knows no such kind.
    #[error("record kind {0} is not known to this version")]
    UnknownKind(u8),
    /// The fields do not have the shape of their kind.
    #[error("the fields of a record of kind {kind} are damaged: {source}")]
    Malformed {
        /// Its kind.
        kind: u8,
        /// What does not fit.
        source: serde_json::Error,
    },
}

/// States the code of each kind once, for both directions. A code is never given a second meaning.
macro_rules! desk_kinds {
    ($($(#[$doc:meta])* $name:ident($fields:ty) = $code:expr,)+) => {
        /// A record of the console's own.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Desk {
            $($(#[$doc])* $name($fields),)+
        }

        impl Desk {
            /// The code of its kind.
            pub fn kind(&self) -> u8 {
                match self {
                    $(Self::$name(_) => $code),+
                }
            }

            /// Its fields as JSON.
            ///
            /// # Errors
            /// None of these kinds can fail to be written; the error is the serializer's own.
            pub fn encode(&self) -> Result<Vec<u8>, serde_json::Error> {
                match self {
                    $(Self::$name(fields) => serde_json::to_vec(fields)),+
                }
            }

            /// Reads the fields of a record of `kind`.
            ///
            /// # Errors
            /// The kind is unknown, or the bytes do not have its shape or hold a value out of range.
            pub fn decode(kind: u8, bytes: &[u8]) -> Result<Self, DeskError> {
                let malformed = |source| DeskError::Malformed { kind, source };
                match kind {
                    $(code if code == $code => serde_json::from_slice(bytes).map(Self::$name).map_err(malformed),)+
                    _ => Err(DeskError::UnknownKind(kind)),
                }
            }
        }
    };
}

desk_kinds! {
    /// A job was ordered.
    Order(Box<Order>) = FIRST_DESK_KIND,
    /// An order was changed.
    Amendment(Amendment) = FIRST_DESK_KIND + 1,
    /// A lens came in.
    Arrival(Arrival) = FIRST_DESK_KIND + 2,
    /// A remark.
    Note(Note) = FIRST_DESK_KIND + 3,
    /// A lens is made again.
    Remake(Remake) = FIRST_DESK_KIND + 4,
    /// A verdict was signed.
    SignOff(SignOff) = FIRST_DESK_KIND + 5,
    /// The job is over.
    Closing(Closing) = FIRST_DESK_KIND + 6,
    /// A job opened at the bench belongs to this one.
    Filing(Filing) = Self::FILING,
    /// A keypad is one of this shop's; belongs to no job.
    Adoption(Adoption) = FIRST_DESK_KIND + 8,
    /// How a lens is made was measured.
    Making(Making) = FIRST_DESK_KIND + 9,
    /// How far apart the segments of a pair are was measured.
    Segments(Segments) = FIRST_DESK_KIND + 10,
    /// What the keypads were told of the shop's choices was changed; belongs to no job.
    Choices(Choices) = FIRST_DESK_KIND + 11,
    /// It was decided between two records under one number; belongs to no job.
    Settlement(Settlement) = Self::SETTLEMENT,
    /// A closed job is open again.
    Reopening(Reopening) = FIRST_DESK_KIND + 13,
    /// A keypad was met; belongs to no job.
    Met(Met) = FIRST_DESK_KIND + 14,
    /// A station is called so; belongs to no job.
    Naming(Naming) = Self::NAMING,
    /// Records of a journal speak for a station; belongs to no job.
    Placement(Placement) = FIRST_DESK_KIND + 16,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_survives_its_bytes_and_an_unknown_kind_is_named() {
        let remake = Desk::Remake(Remake {
            eye: Eye::Left,
            lens: 2,
            cause: Cause::Slipped,
            bearer: Bearer::Shop,
            story: "turned on its pad".into(),
        });
        let bytes = remake.encode().unwrap();
        assert_eq!(Desk::decode(remake.kind(), &bytes).unwrap(), remake);
        assert!(matches!(Desk::decode(0xff, &bytes), Err(DeskError::UnknownKind(0xff))));
        assert!(matches!(
            Desk::decode(FIRST_DESK_KIND, &bytes),
            Err(DeskError::Malformed { kind: 0x80, .. })
        ));
    }
}
