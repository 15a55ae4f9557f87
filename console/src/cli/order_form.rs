//! The fields of an order as a form that is filled in: by the questions of `job new`, and by a file.
//!
//! A field has the name of its flag, and is read by the flag's own parser; there is no other list of them.

use super::arguments::QUOTED;
use super::order_flags::OrderFlags;
use crate::shell::word;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, Command, Error, FromArgMatches};

/// What is given for a field. More than one value are a list: of treatments, or of the right and the left lens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Filled {
    /// Its name.
    pub(crate) field: String,
    /// As they were written.
    pub(crate) values: Vec<String>,
}

/// The form, empty.
pub(crate) struct Form(Command);

impl Form {
    pub(crate) fn new() -> Self {
        let command = Command::new("order").no_binary_name(true).disable_help_flag(true);
        Self(OrderFlags::augment_args(command))
    }

    /// Whether one field can be read, else what is wrong and what would be right.
    pub(crate) fn check(&mut self, given: &Filled) -> Result<(), String> {
        self.flags(std::slice::from_ref(given)).map(drop)
    }

    /// What all of them say.
    pub(crate) fn flags(&mut self, given: &[Filled]) -> Result<OrderFlags, String> {
        let arguments: Vec<String> = given.iter().flat_map(|given| self.arguments(given)).collect();
        let read = self.0.try_get_matches_from_mut(arguments);
        read.and_then(|read| OrderFlags::from_arg_matches(&read)).map_err(|error| self.told(&error))
    }

    /// Every field with what is said of it in the help.
    pub(crate) fn fields(&self) -> impl Iterator<Item = (&str, String)> {
        self.0.get_arguments().filter_map(|field| {
            Some((field.get_long()?, field.get_help().map(ToString::to_string).unwrap_or_default()))
        })
    }

    /// All of them as a command that opens a job.
    pub(crate) fn command(&self, given: &[Filled]) -> String {
        let arguments = given.iter().flat_map(|given| self.arguments(given));
        arguments.fold("bevelbook job new".into(), |command, argument| command + " " + &for_shell(&argument))
    }

    fn arguments(&self, Filled { field, values }: &Filled) -> Vec<String> {
        let listed = |argument: &clap::Arg| argument.get_value_delimiter().is_some();
        let is_list = self.0.get_arguments().any(|own| own.get_long() == Some(field) && listed(own));
        let values = if is_list { values.clone() } else { vec![values.join("/")] };
        values.into_iter().map(|value| format!("--{field}={value}")).collect()
    }

    /// An error without the dress of a command line.
    fn told(&self, error: &Error) -> String {
        let strings = |kind| match error.get(kind) {
            Some(ContextValue::String(one)) => vec![one.clone()],
            Some(ContextValue::Strings(many)) => many.clone(),
            _ => Vec::new(),
        };
        match error.kind() {
            ErrorKind::UnknownArgument => match strings(ContextKind::SuggestedArg).first() {
                Some(near) => {
                    format!("there is no such field; did you mean `{}`?", near.trim_start_matches("--"))
                }
                None => {
                    let all: Vec<&str> = self.fields().map(|(name, _)| name).collect();
                    format!("there is no such field; there are {}", all.join(", "))
                }
            },
            ErrorKind::ArgumentConflict => match strings(ContextKind::InvalidArg).first() {
                Some(flag) => {
                    let field = flag.trim_start_matches("--").split(' ').next().unwrap_or_default();
                    format!("{field} is given more than once; give it once")
                }
                None => "a field is given more than once; give it once".into(),
            },
            ErrorKind::InvalidValue => {
                format!("expected one of {}", strings(ContextKind::ValidValue).join(", "))
            }
            _ => {
                let said =
                    std::error::Error::source(error).map_or_else(|| error.to_string(), ToString::to_string);
                // Neither a file nor an answer has a command line's quotes.
                said.strip_suffix(QUOTED).map_or(said.clone(), |said| said.trim_end().to_owned())
            }
        }
    }
}

/// `--flag=value` as a shell takes it for one argument.
fn for_shell(argument: &str) -> String {
    let (flag, value) = argument.split_once('=').unwrap_or((argument, ""));
    format!("{flag}={}", word(value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::{Remark, Severity};

    fn check(field: &str, values: &[&str]) -> Result<(), String> {
        let values = values.iter().map(|value| (*value).to_owned()).collect();
        Form::new().check(&Filled { field: field.into(), values })
    }

    #[test]
    fn every_field_is_read_as_its_flag_and_says_what_would_be_right() {
        for (field, values) in [
            ("right", &["-1.25 -0.75 x 15"][..]),
            ("a", &["50"]),
            ("pd", &["31.5", "30"]),
            ("treatment", &["AR", "HC"]),
            ("condition", &["worn"]),
        ] {
            assert_eq!(check(field, values), Ok(()), "{field}");
        }
        assert_eq!(
            check("treatement", &["AR"]),
            Err("there is no such field; did you mean `treatment`?".into())
        );
        assert!(check("colour of it", &["x"]).unwrap_err().contains("there are customer, name, tray"));
        assert_eq!(check("condition", &["old"]), Err("expected one of new, own, worn".into()));
        assert!(
            check("right", &["-1.25 0.75 x 15"]).unwrap_err().starts_with("expected a power with its sign")
        );
        assert!(!check("right", &["4"]).unwrap_err().contains("quotes"), "a file and an answer need none");
        let lone = check("right", &["x"]).unwrap_err();
        assert!(lone.contains("write it like") && !lone.contains("quotes"), "{lone}");
        assert!(check("heights", &["18", "high"]).unwrap_err().contains("18/18.5"));
        let twice = ["5", "6"].map(|tray| Filled { field: "tray".into(), values: vec![tray.into()] });
        assert!(Form::new().flags(&twice).is_err_and(|said| said.contains("more than once")));
    }

    #[test]
    fn what_is_remarked_on_is_a_field_of_the_form() {
        let form = Form::new();
        let fields: Vec<&str> = form.fields().map(|(name, _)| name).collect();
        for place in [
            "both eyes",
            "add",
            "prism",
            "right sphere",
            "left eye",
            "left lab power",
            "right height",
            "heights",
            "PD",
            "near PD",
            "design",
            "segment",
            "thinning",
            "reference point",
            "decentration",
            "A",
            "B",
            "DBL",
            "ED",
            "no ED",
            "tilt",
            "wrap",
            "frame",
            "frame curve",
            "rim material",
            "trace",
            "base curve",
            "left base curve",
            "due date",
            "prescription date",
            "customer",
            "tray",
            "material",
            "safety",
            "treatment",
            "treatments",
        ] {
            let remark = Remark { severity: Severity::Unusual, place: place.into(), text: String::new() };
            assert!(
                remark.fields().iter().all(|field| fields.contains(field)),
                "{place}: {:?}",
                remark.fields()
            );
        }
    }
}
