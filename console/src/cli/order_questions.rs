//! What `job new` asks where nothing is given: the fields of the form, in the order in which an order is written.

use super::order_flags::{NEEDED, OrderFlags};
use super::order_form::Filled;
use bevelbook_core::tolerance::Design;

/// One question.
pub(crate) struct Question {
    /// The fields that its answer fills, each by one word where there are several.
    pub(crate) fields: &'static [&'static str],
    /// What is asked.
    pub(crate) asks: &'static str,
    /// How an answer may look.
    pub(crate) form: &'static str,
    /// Whether it is asked after what was answered.
    pub(crate) applies: fn(&OrderFlags) -> bool,
}

const fn always(_: &OrderFlags) -> bool {
    true
}

fn design(flags: &OrderFlags) -> Design {
    flags.design.unwrap_or_default()
}

fn is_multifocal(flags: &OrderFlags) -> bool {
    design(flags) == Design::Multifocal
}

fn has_add(flags: &OrderFlags) -> bool {
    [&flags.right, &flags.left].into_iter().flatten().any(|read| read.eye.add.is_some())
}

fn has_heights(flags: &OrderFlags) -> bool {
    design(flags) != Design::SingleVision
}

/// All of them but the last, which takes any field by its name.
pub(crate) const QUESTIONS: [Question; 16] = [
    ask(&["customer"], "customer ref", "K-17", always),
    ask(&["name"], "customer's name", "Ann Example", always),
    ask(&["right"], "right eye", "-1.25 -0.75 x 15 prism 2 in add +2.00, bal or none", always),
    ask(&["left"], "left eye", "-1.50 -0.50 x 170", always),
    ask(&["pd"], "PD", "31.5/30 or 61", always),
    ask(&["frame"], "frame model", "Lindgren 7", always),
    ask(&["a", "b", "dbl", "ed"], "frame sizes A, B, DBL and, if known, ED", "50 38 18 53", always),
    ask(&["rim"], "rim", "metal, plastic, grooved or rimless", always),
    ask(&["design"], "kind of lens", "progressive or bifocal", has_add),
    ask(&["segment"], "segment", "flat top 28, round 22 or full width", is_multifocal),
    ask(&["near-pd"], "near PD", "30/28.5", is_multifocal),
    ask(&["heights"], "heights above the bottom of the box", "18/18.5", has_heights),
    ask(&["material"], "lens material", "cr39, poly or 1.6", always),
    ask(&["treatment"], "treatments", "HC, AR", always),
    ask(&["due"], "due", "fri, 28/11 or 2026-11-28", always),
    ask(&["tray"], "tray", "4", always),
];

const fn ask(
    fields: &'static [&'static str],
    asks: &'static str,
    form: &'static str,
    applies: fn(&OrderFlags) -> bool,
) -> Question {
    Question { fields, asks, form, applies }
}

impl Question {
    /// Which question fills a field; the place behind all of them for one that is not asked for.
    pub(crate) fn of(field: &str) -> usize {
        QUESTIONS.iter().position(|question| question.fields.contains(&field)).unwrap_or(QUESTIONS.len())
    }

    /// Whether there is no order without an answer.
    pub(crate) fn is_needed(&self) -> bool {
        self.needed() > 0
    }

    /// How many of its fields there is no order without.
    fn needed(&self) -> usize {
        self.fields.iter().filter(|field| NEEDED.iter().any(|(needed, _)| needed == *field)).count()
    }

    /// The fields that an answer fills.
    pub(crate) fn filled(&self, answer: &str) -> Result<Vec<Filled>, String> {
        let words: Vec<&str> = match self.fields {
            [_] => vec![answer],
            _ => answer.split_whitespace().collect(),
        };
        let needed = self.needed();
        if self.fields.len() > 1 && !(needed..=self.fields.len()).contains(&words.len()) {
            return Err(format!(
                "expected {needed} to {} figures\n  write it like: {}",
                self.fields.len(),
                self.form
            ));
        }
        let fill =
            |(field, word): (&&str, &str)| Filled { field: (*field).to_owned(), values: vec![word.into()] };
        Ok(self.fields.iter().zip(words).map(fill).collect())
    }
}
