//! Answers as they are shown: a value for each, made once, that every face renders.
//!
//! A view holds [`Figure`]s, words and rows. `--json` is the view as it serialises; text and sheet lay its rows out and
//! make up no figure of their own. Fields that end in a unit are numbers in that unit. What repeats other fields in
//! words is not serialised.
//!
//! - [`plan`]: what is to be done at the bench for a job.
//! - [`inspection`]: ordered against read, and the verdict.
//! - `day`: a day: what is due, what waits, what was done.
//! - `frames`: where lenses of a model fitted, and how good what the book said of them was.
//! - `history`: what was done, by day, frame, material or cause.
//! - `job`: a job and its order; `listed`: jobs, a line each.
//! - `record`: records, of a job or as a keypad logged them.
//! - `entered`: what was read, and what was accepted as it stood there.
//! - `conflict`: two records under one number.
//! - `keypad`: the shop's keypads.
//! - `pair`: a pair as it is laid out, drawn in letters.
//! - `station`: what its dial counts, and how far it is off.
//! - `chart`: a plot in letters; `plot`: one as a drawing; `cells`: rows for programs and spreadsheets.

/// A view and how it is made: every field once, with its type and its value. What several fields need is worked out
/// before them, behind `with`.
macro_rules! view {
    (
        $(#[$doc:meta])*
        $shown:vis $name:ident of ($($source:ident: $of:ty),+) $(with { $($before:stmt;)+ })? {
            $($(#[$attribute:meta])* $seen:vis $field:ident: $type:ty = $value:expr,)+
        }
    ) => {
        $(#[$doc])*
        #[derive(Debug, serde::Serialize)]
        $shown struct $name {
            $($(#[$attribute])* $seen $field: $type,)+
        }

        impl $name {
            pub(crate) fn of($($source: $of),+) -> Self {
                $($($before)+)?
                Self { $($field: $value,)+ }
            }
        }
    };
}

mod cells;
mod chart;
mod conflict;
mod day;
mod entered;
mod figure;
pub(crate) mod frames;
pub(crate) mod history;
pub mod inspection;
mod job;
mod keypad;
mod lens;
mod listed;
mod pair;
pub mod plan;
pub(crate) mod plot;
mod record;
mod station;

pub(crate) use conflict::Differing;
pub(crate) use day::{BY_SERVER, DayView, KeypadSeen, OpenLists, SpoiledView, WalkIn};
pub use entered::EnteredView;
pub use figure::Figure;
pub(crate) use job::{JobView, OrderLines, WholeJob};
pub(crate) use keypad::{Keypad, Keypads, PluggedIn};
pub(crate) use lens::PrismView;
pub use lens::{Lens, Prescription};
pub(crate) use lens::{ordered_words, wanted_key, what_is_made};
pub(crate) use listed::{FoundJobs, JobTable, Names};
pub(crate) use pair::PairDrawing;
pub(crate) use record::{Identity, Listing, LogRow, MissingNumbers, RecordRow, SizeView, minute};
pub(crate) use station::{CountingView, DialView, StationRow, StationView};
