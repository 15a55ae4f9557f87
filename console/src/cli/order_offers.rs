//! What the book knows of an order that is being asked for: what an empty answer stands for, and what is told of an answer.

use super::Failure;
use super::order_frame::sizes;
use super::order_questions::{QUESTIONS, Question};
use super::order_understood::Before;
use crate::work::KnownFrame;

/// Answers so far, by question.
type Answers = [Option<String>];

fn answer<'a>(answers: &'a Answers, field: &str) -> &'a str {
    answers.get(Question::of(field)).and_then(Option::as_deref).unwrap_or_default()
}

/// What an empty answer to a question stands for: what was answered before, else what is known.
pub(crate) fn of(before: &Before, at: usize, answers: &Answers) -> Result<Option<String>, Failure> {
    if let Some(former) = answers.get(at).and_then(Option::as_ref) {
        return Ok(Some(former.clone()));
    }
    let customer = answer(answers, "customer");
    Ok(match (QUESTIONS[at].fields, &before.work) {
        (["design"], _) => Some("progressive".into()),
        (["name"], Some(work)) => work.customer_name(customer)?,
        (["material"], Some(work)) => work.last_order_of(customer)?.map(|order| order.lens.material),
        (["a", ..], _) => frames(before, answers)?.first().map(size_words),
        (["rim"], _) => {
            let alike = |known: &&KnownFrame| size_words(known) == answer(answers, "a");
            frames(before, answers)?.iter().find(alike).map(|known| known.frame.rim.to_string())
        }
        _ => None,
    })
}

/// What is known of what was just answered.
pub(crate) fn told(before: &Before, at: usize, answers: &Answers) -> Result<Option<String>, Failure> {
    let Some(work) = &before.work else { return Ok(None) };
    if at == Question::of("customer") {
        let customer = answer(answers, "customer");
        return Ok(work.last_order_of(customer)?.map(|order| {
            format!(
                "{customer} had job {}: {}; {}; PD {}",
                order.number, order.right, order.left, order.far_pd
            )
        }));
    }
    let known = if at == Question::of("frame") { frames(before, answers)? } else { Vec::new() };
    Ok((!known.is_empty()).then(|| format!("{} is known as {}", answer(answers, "frame"), sizes(&known))))
}

/// Sizes, or all those of the known frame that is as wide as the one that was answered.
pub(crate) fn whole_size(before: &Before, answers: &Answers, typed: &str) -> Result<String, Failure> {
    let as_wide = |known: &&KnownFrame| known.frame.size.a.to_string() == typed;
    Ok(frames(before, answers)?.iter().find(as_wide).map_or_else(|| typed.to_owned(), size_words))
}

/// The frames of the model that was answered.
fn frames(before: &Before, answers: &Answers) -> Result<Vec<KnownFrame>, Failure> {
    match (&before.work, answer(answers, "frame")) {
        (None, _) | (_, "") => Ok(Vec::new()),
        (Some(work), model) => Ok(work.frames_of(model)?),
    }
}

/// Sizes as they are answered.
fn size_words(known: &KnownFrame) -> String {
    let size = &known.frame.size;
    let ed = size.ed.map(|ed| format!(" {ed}")).unwrap_or_default();
    format!("{} {} {}{ed}", size.a, size.b, size.dbl)
}
