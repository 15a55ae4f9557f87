//! An order asked for step by step: each answer is read and checked where it stands, and the whole is shown before it is saved.
//!
//! It is the form that is filled in ([`super::order_form`]), so that flags, files and answers are one thing. What is not asked
//! yet is stood in for by examples; a remark counts once all that it is about was asked.

use super::edge;
use super::order_flags::NEEDED;
use super::order_form::{Filled, Form};
use super::order_questions::{QUESTIONS, Question};
use super::order_understood::{Before, Understood, unusual};
use super::page::wrapped;
use super::{Failure, order_offers, order_shown};
use crate::desk::{Remark, Severity};
use std::collections::BTreeSet;
use std::io::{self, BufRead, IsTerminal, Write};

const INTRO: &str = "A new order. Enter takes [what is offered], - goes back, ? helps, Ctrl-C ends.";
const MORE: &str = "anything else, like tilt 9 or prescribed 1/11 (? lists it)";
const SAVE: &str = "save it? yes, no or - to go back [yes]: ";

/// How wide a screen is at least.
const COLUMNS: usize = 80;

/// What an answer does.
enum Answer {
    /// It is taken.
    Taken,
    /// The question before is asked again.
    Back,
    /// Nothing more comes.
    End,
}

/// Whether there is a person to ask.
pub(crate) fn can_ask() -> bool {
    io::stdin().is_terminal() && io::stderr().is_terminal()
}

/// Asks for an order, and how it is typed as one command; none where it is not to be saved.
pub(crate) fn asked(before: &Before) -> Result<Option<(Understood, String)>, Failure> {
    Steps::new(before, io::stdin().lock(), io::stderr()).run()
}

/// A fault behind which nothing of what was answered is to be answered again.
pub(crate) fn with_answers(failure: Failure, command: &str) -> Failure {
    match failure {
        Failure::Fault(why) => {
            Failure::Fault(format!("{why}\nwhat was answered, as one command:\n  {command}"))
        }
        other => other,
    }
}

struct Steps<'b, I, O> {
    before: &'b Before,
    form: Form,
    input: I,
    output: O,
    /// What was answered last, by question.
    answers: Vec<Option<String>>,
    /// Fields that nothing asks for.
    more: Vec<Filled>,
    /// What was told already.
    told: BTreeSet<String>,
}

impl<'b, I: BufRead, O: Write> Steps<'b, I, O> {
    fn new(before: &'b Before, input: I, output: O) -> Self {
        let answers = vec![None; QUESTIONS.len()];
        Self { before, form: Form::new(), input, output, answers, more: Vec::new(), told: BTreeSet::new() }
    }

    fn run(mut self) -> Result<Option<(Understood, String)>, Failure> {
        let order = self.order();
        let given = self.given(QUESTIONS.len());
        let command = self.form.command(&given);
        match order {
            Err(failure) if !given.is_empty() => Err(with_answers(failure, &command)),
            order => Ok(order?.map(|order| (order, command))),
        }
    }

    fn order(&mut self) -> Result<Option<Understood>, Failure> {
        self.say(INTRO);
        let (mut at, mut behind) = (0, Vec::new());
        loop {
            if let Some(question) = QUESTIONS.get(at)
                && !self.applies(question, at)?
            {
                self.answers[at] = None;
                at += 1;
                continue;
            }
            let answer = if at < QUESTIONS.len() { self.ask(at)? } else { self.ask_for_more()? };
            match answer {
                Answer::End => return Ok(None),
                Answer::Back => at = behind.pop().unwrap_or(0),
                Answer::Taken if at < QUESTIONS.len() => {
                    behind.push(at);
                    at += 1;
                }
                Answer::Taken => match self.confirmed()? {
                    Some((Answer::Taken, order)) => return Ok(Some(order)),
                    Some((Answer::End, _)) => return Ok(None),
                    // Its last question is asked again.
                    Some((Answer::Back, _)) | None => {}
                },
            }
        }
    }

    /// Whether a question is asked after what was answered.
    fn applies(&mut self, question: &Question, at: usize) -> Result<bool, Failure> {
        let known = question.fields != ["name"] || self.before.takes_names();
        Ok(known && (question.applies)(&self.form.flags(&self.given(at)).map_err(Failure::Use)?))
    }

    /// Asks one question until its answer is right.
    fn ask(&mut self, at: usize) -> Result<Answer, Failure> {
        let question = &QUESTIONS[at];
        let offered = order_offers::of(self.before, at, &self.answers)?;
        let shown = match &offered {
            Some(offered) => format!(" [{offered}]"),
            None if question.is_needed() => String::new(),
            None => " [none]".into(),
        };
        loop {
            let typed = self.line(&format!("{}, like {}{shown}: ", question.asks, question.form));
            let answer = match typed.as_deref() {
                None => return Ok(Answer::End),
                Some("-" | "back") => return Ok(Answer::Back),
                Some("?") => {
                    self.explain(question.fields);
                    continue;
                }
                Some("none") if !question.is_needed() => None,
                Some("") => offered.clone(),
                Some(typed) => Some(typed.to_owned()),
            };
            match answer {
                None if question.is_needed() => {
                    self.say(&format!("an answer is needed here, like {}", question.form));
                }
                answer => {
                    if self.takes(at, answer)? {
                        return Ok(Answer::Taken);
                    }
                }
            }
        }
    }

    /// Whether an answer is right as far as that can be told; what there is to say of it is said.
    fn takes(&mut self, at: usize, answer: Option<String>) -> Result<bool, Failure> {
        let answer = match answer {
            Some(answer) if QUESTIONS[at].fields.len() > 1 => {
                Some(order_offers::whole_size(self.before, &self.answers, &answer)?)
            }
            answer => answer,
        };
        let filled = answer.as_deref().map_or(Ok(Vec::new()), |answer| QUESTIONS[at].filled(answer));
        let wrong = filled.and_then(|filled| filled.iter().try_for_each(|one| self.form.check(one)));
        if let Err(said) = wrong {
            self.say(&said);
            return Ok(false);
        }
        let fields = QUESTIONS[at].fields;
        let more = self.more.iter().filter(|more| !fields.contains(&more.field.as_str())).cloned().collect();
        let former = (self.answers[at].clone(), std::mem::replace(&mut self.more, more));
        self.answers[at] = answer;
        let right = self.hold_up(at)?;
        if !right {
            (self.answers[at], self.more) = former;
        }
        Ok(right)
    }

    /// Whether what was answered up to a question can be right so far.
    fn hold_up(&mut self, at: usize) -> Result<bool, Failure> {
        let mut given = self.given(at + 1);
        let open = NEEDED.iter().filter(|(field, _)| Question::of(field) > at);
        given.extend(
            open.map(|(field, example)| Filled { field: (*field).into(), values: vec![(*example).into()] }),
        );
        let work = self.before.work.as_ref().filter(|_| at >= Question::of("rim"));
        let understood = self.form.flags(&given).map_err(Failure::Use);
        let mut order = match understood.and_then(|flags| Understood::of(&flags, None, work)) {
            Ok(order) => order,
            Err(Failure::Fault(why)) => return Err(Failure::Fault(why)),
            Err(Failure::Use(said) | Failure::NotFound(said)) => {
                self.say(&said);
                return Ok(false);
            }
        };
        let remarks = self.before.reviewed(&mut order.new.order)?;
        let is_asked = |remark: &Remark| remark.fields().iter().all(|field| Question::of(field) <= at);
        let remarks: Vec<Remark> = remarks.into_iter().filter(is_asked).collect();
        let refused: Vec<String> = remarks
            .iter()
            .filter(|remark| remark.severity == Severity::Refused)
            .map(ToString::to_string)
            .collect();
        for said in &refused {
            self.say(said);
        }
        if refused.is_empty() {
            let hints = order.hints.into_iter().chain(unusual(&remarks)).chain(order_offers::told(
                self.before,
                at,
                &self.answers,
            )?);
            hints.collect::<Vec<_>>().into_iter().for_each(|hint| self.tell(&hint));
        }
        Ok(refused.is_empty())
    }

    /// The fields that were answered before a question, and those that were given by name.
    fn given(&self, before: usize) -> Vec<Filled> {
        let answered = QUESTIONS.iter().zip(&self.answers).take(before);
        let filled =
            |(question, answer): (&Question, &Option<String>)| question.filled(answer.as_deref()?).ok();
        let by_name = |one: &Filled| self.more.iter().any(|more| more.field == one.field);
        let answered = answered.filter_map(filled).flatten().filter(|one| !by_name(one));
        answered.chain(self.more.iter().cloned()).collect()
    }

    /// Asks for fields by name until there are no more.
    fn ask_for_more(&mut self) -> Result<Answer, Failure> {
        loop {
            let typed = self.line(&format!("{MORE} [no]: "));
            let typed = match typed.as_deref() {
                None => return Ok(Answer::End),
                Some("-" | "back") => return Ok(Answer::Back),
                Some("" | "no") => return Ok(Answer::Taken),
                Some("?") => {
                    let all: Vec<String> = self.form.fields().map(|(name, _)| name.to_owned()).collect();
                    let open =
                        all.iter().map(String::as_str).filter(|name| Question::of(name) >= QUESTIONS.len());
                    self.explain(&open.collect::<Vec<_>>());
                    continue;
                }
                Some(typed) => typed.to_owned(),
            };
            let (field, value) = typed.split_once([' ', '=', ':']).unwrap_or((&typed, ""));
            let field = field.trim_start_matches('-').to_lowercase().replace('_', "-");
            let given = Filled { field: field.clone(), values: vec![value.trim().to_owned()] };
            if let Err(said) = self.form.check(&given) {
                self.say(&format!("{field}: {said}"));
            } else {
                let former = std::mem::take(&mut self.more);
                self.more =
                    former.iter().filter(|other| other.field != field).cloned().chain([given]).collect();
                if !self.hold_up(QUESTIONS.len())? {
                    self.more = former;
                }
            }
        }
    }

    /// Shows the order and asks whether it is to be saved; nothing where it cannot be right.
    fn confirmed(&mut self) -> Result<Option<(Answer, Understood)>, Failure> {
        if !self.hold_up(QUESTIONS.len())? {
            return Ok(None);
        }
        let flags = self.form.flags(&self.given(QUESTIONS.len())).map_err(Failure::Use)?;
        let mut order = Understood::of(&flags, None, self.before.work.as_ref())?;
        self.before.reviewed(&mut order.new.order)?;
        let shown = order_shown::whole(self.before, &order.new.order)?;
        self.say(&shown);
        loop {
            let typed = self.line(SAVE);
            let answer = match typed.as_deref() {
                None | Some("n" | "no") => Answer::End,
                Some("-" | "back") => Answer::Back,
                Some("" | "y" | "yes") => Answer::Taken,
                Some(_) => continue,
            };
            return Ok(Some((answer, order)));
        }
    }

    /// Says what fields are, in the words of the help.
    fn explain(&mut self, fields: &[&str]) {
        let told: Vec<String> = self
            .form
            .fields()
            .filter(|(name, _)| fields.contains(name))
            .map(|(name, help)| format!("{name}: {help}"))
            .collect();
        self.say(&told.join("\n"));
    }

    /// Says what was not said before.
    fn tell(&mut self, text: &str) {
        if self.told.insert(text.to_owned()) {
            self.say(text);
        }
    }

    /// Says something, its prose in lines of a screen; whom it does not reach ends the input too.
    fn say(&mut self, text: &str) {
        for line in edge::lines(text).split('\n') {
            let prose = line.chars().count() > COLUMNS && !line.starts_with(' ');
            let lines = if prose { wrapped("", line.split(' '), 2, COLUMNS) } else { vec![line.to_owned()] };
            let _ = writeln!(self.output, "{}", lines.join("\n"));
        }
    }

    /// The next line, trimmed; none when nothing more comes.
    fn line(&mut self, prompt: &str) -> Option<String> {
        let mut line = String::new();
        let _ = write!(self.output, "{}", edge::lines(prompt)).and_then(|()| self.output.flush());
        match self.input.read_line(&mut line) {
            Ok(1..) => Some(line.trim().to_owned()),
            _ => {
                let _ = writeln!(self.output);
                None
            }
        }
    }
}

#[cfg(test)]
mod tests;
