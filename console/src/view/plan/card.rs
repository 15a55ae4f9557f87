//! What the hand goes by, on one screen: at most 23 lines of 80 columns for an ordinary pair of each design. Whatever the
//! whole plan warns of, it warns of in short.

use super::head::CUSTOMER;
use super::{PlanView, Row};

/// The one screen of a plan, in the order of work.
#[derive(Debug)]
pub struct BenchCard<'p> {
    /// The job, then what is ordered, each thing under its name; of what needs none the name is empty.
    pub head: Vec<(&'static str, String)>,
    /// What is said of each eye.
    pub rows: Vec<&'p Row>,
    /// What has no two sides, each under its name.
    pub account: Vec<&'p (&'static str, String)>,
    /// What a person should know.
    pub warnings: Vec<String>,
}

/// What of a plan's account stands on it.
const ACCOUNT: [&str; 9] = [
    "near pair",
    "right eye",
    "left eye",
    "wheel",
    "bevel",
    "edge",
    "first size",
    "second eye",
    "this frame",
];

/// What of it says how big to cut.
const SIZES: [&str; 3] = ["first size", "second eye", "this frame"];

impl PlanView {
    /// How big to cut and why, each thing under its name, where the book advises it.
    pub fn advised(&self) -> impl Iterator<Item = &(&'static str, String)> {
        self.account.iter().filter(|(name, _)| self.advice.is_some() && SIZES.contains(name))
    }

    /// What the hand goes by, with the customer's name where it is wanted and known.
    #[must_use]
    pub fn card(&self, name: Option<&str>) -> BenchCard<'_> {
        BenchCard {
            head: self.head(name),
            rows: self.rows.iter().filter(|row| row.card).collect(),
            account: self.account.iter().filter(|(name, _)| ACCOUNT.contains(name)).collect(),
            warnings: self.warnings(),
        }
    }

    /// The job, then what is ordered.
    #[must_use]
    pub fn head(&self, name: Option<&str>) -> Vec<(&'static str, String)> {
        let mut head = self.head.clone();
        if let Some(((_, customer), name)) = head.iter_mut().find(|(what, _)| *what == CUSTOMER).zip(name) {
            *customer = format!("{name} ({customer})");
        }
        head
    }

    /// Every caution in short, once where it is the same of both lenses.
    fn warnings(&self) -> Vec<String> {
        let told = self.told(|caution| caution.brief.as_ref());
        let of = |eye: &str, words: &str| told.contains(&(eye, words));
        let both = |words: &str| of("right", words) && of("left", words);
        let said = told.iter().filter_map(|(whose, words)| match *whose {
            "" => Some((*words).to_owned()),
            "left" if both(words) => None,
            "right" if both(words) => Some(format!("both: {words}")),
            whose => Some(format!("{whose}: {words}")),
        });
        said.collect()
    }
}
