//! What can go wrong between a person's wish and the book.

use super::refused::{first, kept, lenses, not_stated, stations, which_lens};
use super::uncaused::Uncaused;
use crate::desk::{NothingChanged, Remark};
use crate::settings::SettingsError;
use crate::store;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::{Impossible, RecordId};
use bevelbook_core::sizing::{OffStep, Refusal};

/// Why something was not done. Nothing is half done.
#[derive(Debug, thiserror::Error)]
pub enum WorkError {
    /// The book refused.
    #[error(transparent)]
    Store(#[from] store::Error),
    /// The settings refused.
    #[error(transparent)]
    Settings(#[from] SettingsError),
    /// No such job.
    #[error("no job `{wanted}`; {hint}")]
    NoJob {
        /// What was asked for.
        wanted: String,
        /// What there is.
        hint: String,
    },
    /// Books came together that had each given the same number.
    #[error(
        "`{wanted}` is more than one job, since books came together that had each given that number: {jobs}; give the \
             figures and letters"
    )]
    NumberedTwice {
        /// What was asked for.
        wanted: String,
        /// Their identities, customers and frames.
        jobs: String,
    },
    /// More than one job answers.
    #[error("`{wanted}` is more than one job: {candidates}; give the number")]
    Ambiguous {
        /// What was asked for.
        wanted: String,
        /// Their numbers.
        candidates: String,
    },
    /// A bare number is one job's, and the tray of another.
    #[error(
        "`{number}` is job {number}, and tray {number} holds another one ({others}): write J{number} for the job, \
         T{number} for what lies in the tray"
    )]
    NumberOrTray {
        /// The number.
        number: u32,
        /// The numbers of the jobs in the tray.
        others: String,
    },
    /// The order cannot be right.
    #[error("please check the order:{}", .0.iter().map(|remark| format!("\n  {remark}")).collect::<String>())]
    Refused(Vec<Remark>),
    /// The job is over.
    #[error(
        "job {number} is closed ({how}); open it again first:\n  bevelbook job reopen {number} --for adjustment --why \
         \"…\"\n  bevelbook job remake {number} … begins a new lens, and opens it too"
    )]
    Closed {
        /// Its number.
        number: u32,
        /// How it ended.
        how: String,
    },
    /// The job is not over.
    #[error("job {number} is open ({status}): nothing was changed")]
    Open {
        /// Its number.
        number: u32,
        /// What it waits for.
        status: String,
    },
    /// The amended order would be the same.
    #[error(transparent)]
    NothingChanged(#[from] NothingChanged),
    /// Nobody has said what the station's dial counts.
    #[error("{}", not_stated(called.as_deref()))]
    NoStation {
        /// What the station is called, where there are several.
        called: Option<String>,
    },
    /// No station has that name.
    #[error("no station is called `{name}`; {}", stations(.known))]
    NoStationCalled {
        /// What was asked for.
        name: String,
        /// What there is.
        known: Vec<String>,
    },
    /// Another one has that name.
    #[error("another station is called `{name}`; two that are called alike are not told apart")]
    StationCalledSo {
        /// The name.
        name: String,
    },
    /// The station that there is has no name.
    #[error("the station of this shop has no name yet; name it first:\n  bevelbook station name \"Edge 1\"")]
    StationUnnamed,
    /// It was not said which station is meant.
    #[error(
        "which station? This shop has {}; nothing was recorded. Say it with the command, --station {}, or once for all \
         that is typed here:\n  bevelbook station here {}",
        .known.join(", "), first(.known), first(.known)
    )]
    WhichStation {
        /// What they are called.
        known: Vec<String>,
    },
    /// The dial has no such figure.
    #[error("{0}")]
    OffStep(#[from] OffStep),
    /// No bench can say that.
    #[error("{0}; nothing was recorded")]
    Impossible(#[from] Impossible),
    /// The guard holds.
    #[error("{refusal}; nothing was recorded (insist with --past)")]
    Guard {
        /// What the guard says.
        refusal: Refusal,
    },
    /// The pair cannot be signed as it is.
    #[error("the pair is {verdict}; sign it with --despite and the reason, or make it right first")]
    NotWithin {
        /// The verdict.
        verdict: String,
    },
    /// The job cannot be closed as it is without a word.
    #[error(
        "job {number} is not signed off within ({status}); nothing was closed. Make it right and sign it off, or close it \
         with the reason:\n  bevelbook job close {number} --how \"{how}\" --despite \"…\""
    )]
    NotSignedWithin {
        /// Its number.
        number: u32,
        /// What it waits for.
        status: String,
        /// How it was to end.
        how: String,
    },
    /// Segments belong to multifocals.
    #[error(
        "the lenses of job {number} have no segments: a distance between segments belongs to a multifocal"
    )]
    NoSegments {
        /// Its number.
        number: u32,
    },
    /// The shop wants to know who says what is said at a desk.
    #[error(
        "who says so? This shop puts initials beside what is said at a desk; nothing was recorded. Add --initials EM, with \
         yours, or set them once: export BEVELBOOK_INITIALS=EM"
    )]
    WhoSays,
    /// A sign-off needs initials.
    #[error("a sign-off needs initials, for example --sign-off EM")]
    NoInitials,
    /// A lens that was not cut is not finished.
    #[error(
        "nothing was logged: the {} of job {number} is not cut yet; log its passes, or its reading in the frame, first",
        lenses(.eyes)
    )]
    NotCut {
        /// The job's number.
        number: u32,
        /// The eyes whose lens it is.
        eyes: Vec<Eye>,
    },
    /// Nothing is made for that eye.
    #[error(
        "nothing was logged: no lens is made for the {eye} eye of job {number}{}; if one is, amend the order first: \
         bevelbook job amend {number} --{eye} RX --why …",
        kept(*.stays)
    )]
    NotMade {
        /// The job's number.
        number: u32,
        /// The eye.
        eye: Eye,
        /// Whether a lens of known power stays in the frame.
        stays: bool,
    },
    /// Half a PD of a pair.
    #[error(
        "nothing was logged: both lenses of job {number} are made: give the PD of each, as 31.5/31, or one figure \
         across"
    )]
    HalfPd {
        /// The job's number.
        number: u32,
    },
    /// Half a PD in the place of a whole one.
    #[error(
        "nothing was logged: the whole PD of job {number} was measured, {measured} mm; half of it would leave the other eye \
         unmeasured: give the PD of each, as 31.5/31"
    )]
    HalfOfWhole {
        /// The job's number.
        number: u32,
        /// What was measured.
        measured: PupillaryDistance,
    },
    /// There is no such record.
    #[error("no record {0} in the book; `job show` lists the records of a job")]
    NoRecord(String),
    /// That record is void.
    #[error("record {0} cannot be voided: it is void already")]
    AlreadyVoid(RecordId),
    /// Nothing waits for a decision there.
    #[error("nothing that arrived as record {0} waits for a decision; `book conflicts` lists what does")]
    NothingToSettle(RecordId),
    /// What arrived cannot take the place of what the book has.
    #[error(
        "what arrived as record {id} cannot be kept: {why}; settle with --keep book, and log what is right"
    )]
    NotTaken {
        /// The record.
        id: RecordId,
        /// Why.
        why: String,
    },
    /// That record cannot be voided.
    #[error("record {id} cannot be voided: {why}")]
    NotVoidable {
        /// The record.
        id: RecordId,
        /// Why.
        why: &'static str,
    },
    /// An eye has no lens of that number.
    #[error("job {number} has no {eye} lens {lens}: the {eye} eye is at lens {present}")]
    NoLens {
        /// The job's number.
        number: u32,
        /// The eye.
        eye: Eye,
        /// What was asked for.
        lens: u8,
        /// The lens that the eye is at.
        present: u8,
    },
    /// It is not clear which lens was spoiled.
    #[error("{}", which_lens(*.present, .earlier))]
    WhichLens {
        /// The lens that the eye is at.
        present: u8,
        /// Earlier ones of which nobody told why they were spoiled.
        earlier: Vec<Uncaused>,
    },
    /// A lens number outgrew its record.
    #[error("the {eye} eye has had 255 lenses; open a new job")]
    TooManyLenses {
        /// The eye.
        eye: Eye,
    },
    /// A job without an order, or with records that do not fit.
    #[error("the records of job {job} are damaged: {what}; keep the book as it is and look at a backup")]
    Damaged {
        /// The job's identity.
        job: String,
        /// What does not fit.
        what: String,
    },
    /// The operating system gave no entropy.
    #[error("the system gives no entropy: {0}; try again later")]
    Entropy(getrandom::Error),
    /// A bench fact could not be written.
    #[error("the fact cannot be encoded: {0}")]
    Encode(postcard::Error),
    /// A desk fact could not be written.
    #[error("the fact cannot be encoded: {0}")]
    EncodeDesk(serde_json::Error),
}

impl WorkError {
    /// Whether it is the server that keeps the book which was lost; see [`store::Error::is_away`].
    #[must_use]
    pub const fn is_away(&self) -> bool {
        self.away().is_some()
    }

    /// What was met, where it is.
    #[must_use]
    pub const fn away(&self) -> Option<&str> {
        match self {
            Self::Store(error) => error.away(),
            _ => None,
        }
    }
}
