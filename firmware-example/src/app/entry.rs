//! A step in the making: what is asked, and what is entered so far.

use super::centres::CentresEntry;
use super::finding;
use super::job::OpenJob;
use super::mark;
use super::reading::ReadingEntry;
use super::screens::Pair;
use super::sizing::SizingEntry;
use super::words;
use crate::screen::{Answers, Body, Picture, Screen, Tone};
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::CheckItem;

/// The entry that belongs to a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Entry {
    Reading(ReadingEntry),
    Mark(Eye),
    Sizing(SizingEntry),
    /// Sizing cannot begin before the station has stated its dial.
    NoDial(Eye),
    Remake(Eye),
    Centres(CentresEntry),
    CheckLens(Eye, CheckItem),
    CheckPair(CheckItem),
    Done,
}

impl Entry {
    /// Goes back one figure. Whether there is one before what is asked.
    pub(super) fn back(&mut self) -> bool {
        match self {
            Self::Reading(entry) => entry.go(false),
            Self::Centres(entry) => entry.go(false),
            Self::Sizing(entry) => entry.back(),
            _ => false,
        }
    }

    pub(super) const fn eye(&self) -> Option<Eye> {
        match self {
            Self::Reading(entry) => Some(entry.eye),
            Self::Sizing(entry) => Some(entry.eye),
            Self::Mark(eye) | Self::NoDial(eye) | Self::Remake(eye) | Self::CheckLens(eye, _) => Some(*eye),
            Self::Centres(_) | Self::CheckPair(_) | Self::Done => None,
        }
    }

    /// Shows it on `screen`, in `job`, of which so many steps are skipped.
    #[inline(never)]
    pub(super) fn show(&self, screen: &mut Screen, job: &OpenJob, skipped: usize) {
        let warns = matches!(self, Self::Remake(_) | Self::NoDial(_));
        screen.tone = if warns { Tone::Warning } else { Tone::Plain };
        screen.answers = match self {
            Self::Reading(entry) => entry.answers(),
            Self::Sizing(entry) => entry.answers(),
            Self::Centres(_) => CentresEntry::ANSWERS,
            Self::Mark(_) => Answers::centre("done"),
            Self::NoDial(_) => Answers::centre("station"),
            Self::Remake(_) => Answers::centre("remake"),
            Self::CheckLens(_, item) | Self::CheckPair(item) => {
                let all = if *item == CheckItem::Bevel { "" } else { "all good" };
                let good = if *item == CheckItem::Strain { "none" } else { "good" };
                Answers::new("", "bad", "", all, good)
            }
            Self::Done => return finding::show_done(screen, job, skipped),
        };
        screen.body = match self {
            Self::Reading(entry) => entry.body(),
            Self::Sizing(entry) => entry.body(job),
            Self::Centres(entry) => entry.body(),
            Self::Mark(eye) => mark::body(job, *eye),
            Self::NoDial(_) => {
                Body::message("size reads as?", "the machine's size\nis not stated yet:\npress the centre")
            }
            Self::Remake(eye) => {
                let said = "undersize is scrap.\ncentre: remake it\nhold left: undo";
                Body::message(Pair(eye, "lens is loose"), said)
            }
            Self::CheckLens(eye, CheckItem::Blocked) => mark::block(job, *eye),
            Self::CheckLens(_, item) | Self::CheckPair(item) => {
                Body::question(words::looked_for(*item), item.short(), "", Picture::None)
            }
            // Shown already.
            Self::Done => return,
        };
    }
}
