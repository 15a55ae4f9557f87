//! What a command has to say, and how it ended.

use super::edge;
use crate::plan::PlanError;
use crate::settings::SettingsError;
use crate::store;
use crate::trace::TraceError;
use crate::work::WorkError;
use serde::Serialize;
use serde_json::{Value, json};
use std::fmt::Display;
use std::io::Write;
use std::process::ExitCode;

/// The exit code of what is not within, not judged yet, or not done because a person said no.
pub(crate) const DECLINED: u8 = 1;

/// The exit code of wrong use.
pub(crate) const WRONG_USE: u8 = 2;

/// The exit code of a fault.
pub(crate) const FAULT: u8 = 4;

/// What a command has to say.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// For people, without a final line end.
    pub text: String,
    /// The same for programs. Field names end in their unit.
    pub json: Value,
    /// What a person should know beside the result; never part of it.
    pub hints: Vec<String>,
    /// Whether what it judged is out of tolerance, or not judged yet.
    pub not_within: bool,
}

impl Report {
    /// A result that is done.
    pub fn new(text: impl Into<String>, json: Value) -> Self {
        Self { text: text.into(), json, ..Self::default() }
    }

    /// What is shown of a view.
    pub(crate) fn of(view: &(impl Serialize + Display)) -> Self {
        Self::new(view.to_string(), json!(view))
    }

    /// The one that is asked for of a view's two faces: of thousands of rows each takes its time.
    pub(crate) fn of_one(view: &(impl Serialize + Display), json: bool) -> Self {
        if json { Self::new("", json!(view)) } else { Self::new(view.to_string(), Value::Null) }
    }

    /// Adds a field.
    pub(crate) fn with(mut self, name: &str, value: impl Serialize) -> Self {
        self.json[name] = json!(value);
        self
    }

    /// Adds the fields of a view.
    pub(crate) fn with_all(mut self, view: impl Serialize) -> Self {
        if let (Value::Object(fields), Value::Object(more)) = (&mut self.json, json!(view)) {
            fields.extend(more);
        }
        self
    }

    /// Adds a hint.
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds hints.
    pub(crate) fn hints(mut self, hints: impl IntoIterator<Item = String>) -> Self {
        self.hints.extend(hints);
        self
    }
}

/// A report of named values: the text is made of them, and they are the fields for programs.
///
/// `answer!("{sag_mm} deep"; sag_mm = Figure(sag))`; what only the text needs stands before the semicolon.
macro_rules! answer {
    ($text:literal $(, $told:expr)*; $($name:ident = $value:expr),+ $(,)?) => {{
        let ($($name,)+) = ($($value,)+);
        $crate::cli::Report::new(format!($text $(, $told)*), serde_json::json!({ $(stringify!($name): $name),+ }))
    }};
}

pub(crate) use answer;

/// Why a command could not do its work. The text says what, where and what would be right.
#[derive(Debug)]
pub enum Failure {
    /// It was used wrongly, or asked for what cannot be right.
    Use(String),
    /// What it was asked about is not there.
    NotFound(String),
    /// The port, the disk or the data failed it.
    Fault(String),
}

impl Failure {
    /// Wrong use, in the words of an error.
    pub(crate) fn wrong(error: impl Display) -> Self {
        Self::Use(error.to_string())
    }

    /// What is not there, in the words of an error.
    pub(crate) fn missing(error: impl Display) -> Self {
        Self::NotFound(error.to_string())
    }

    /// A fault, in the words of an error.
    pub(crate) fn fault(error: impl Display) -> Self {
        Self::Fault(error.to_string())
    }

    /// What it says.
    pub(super) fn text(&self) -> &str {
        self.parts().0
    }

    fn parts(&self) -> (&str, u8) {
        match self {
            Self::Use(text) => (text, WRONG_USE),
            Self::NotFound(text) => (text, 3),
            Self::Fault(text) => (text, FAULT),
        }
    }
}

impl From<WorkError> for Failure {
    fn from(error: WorkError) -> Self {
        match error {
            WorkError::Store(error) => error.into(),
            WorkError::Settings(error) => error.into(),
            WorkError::NoJob { .. } | WorkError::NoRecord(_) | WorkError::NothingToSettle(_) => {
                Self::missing(error)
            }
            WorkError::Damaged { .. } | WorkError::Encode(_) | WorkError::EncodeDesk(_) => Self::fault(error),
            error => Self::wrong(error),
        }
    }
}

impl From<store::Error> for Failure {
    fn from(error: store::Error) -> Self {
        match error.trouble {
            store::Trouble::Missing => Self::missing(error),
            store::Trouble::Nul { .. } => Self::wrong(error),
            _ => Self::fault(error),
        }
    }
}

impl From<TraceError> for Failure {
    fn from(error: TraceError) -> Self {
        match error {
            TraceError::Missing { .. } => Self::missing(error),
            TraceError::Read { .. } => Self::fault(error),
            error => Self::wrong(error),
        }
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Settings(error) => error.into(),
            PlanError::Trace(error) => Self::fault(error),
            PlanError::Shape { .. } => Self::wrong(error),
        }
    }
}

impl From<SettingsError> for Failure {
    fn from(error: SettingsError) -> Self {
        use SettingsError::{NoMaterial, NoSafety, NoShopTable};
        let asked_wrongly = matches!(error, NoMaterial { .. } | NoSafety { .. } | NoShopTable);
        if asked_wrongly { Self::wrong(error) } else { Self::fault(error) }
    }
}

/// Prints a result and gives its exit code. A reader that has gone away ends the output quietly.
pub(crate) fn show(result: Result<Report, Failure>, json: bool) -> ExitCode {
    let out = &mut std::io::stdout();
    match result {
        Ok(report) => {
            let shown = match (json, &report.json) {
                (false, _) => edge::lines(&report.text),
                // Nothing to say, or said already.
                (true, Value::Null) => String::new(),
                (true, json) => crate::json::shown(&format!("{json:#}")),
            };
            if !shown.is_empty() {
                let _ = writeln!(out, "{shown}");
            }
            for hint in &report.hints {
                edge::tell(hint);
            }
            ExitCode::from(if report.not_within { DECLINED } else { 0 })
        }
        Err(failure) => {
            let (text, code) = failure.parts();
            edge::tell(&format!("error: {text}"));
            ExitCode::from(code)
        }
    }
}
