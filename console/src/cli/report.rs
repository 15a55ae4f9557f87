//! What a command has to say, and how it ended.

use crate::plan::PlanError;
use crate::settings::SettingsError;
use crate::store;
use crate::trace::TraceError;
use crate::work::WorkError;
use serde_json::Value;
use std::io::Write;
use std::process::ExitCode;

/// How a command that worked ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Status {
    /// Done, and within tolerance where something was judged.
    #[default]
    Done,
    /// Out of tolerance, or not judged yet.
    NotWithin,
}

impl Status {
    /// The exit code of wrong use.
    pub(crate) const WRONG_USE: u8 = 2;
}

/// What a command has to say.
#[derive(Clone, Debug, Default)]
pub struct Report {
    /// For people, without a final line end.
    pub text: String,
    /// The same for programs. Field names end in their unit.
    pub json: Value,
    /// What a person should know beside the result; never part of it.
    pub hints: Vec<String>,
    /// How it ended.
    pub status: Status,
}

impl Report {
    /// A result that is done.
    #[must_use]
    pub fn new(text: impl Into<String>, json: Value) -> Self {
        Self { text: text.into(), json, ..Self::default() }
    }

    /// Adds a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }
}

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
    fn parts(&self) -> (&str, u8) {
        match self {
            Self::Use(text) => (text, Status::WRONG_USE),
            Self::NotFound(text) => (text, 3),
            Self::Fault(text) => (text, 4),
        }
    }
}

impl From<WorkError> for Failure {
    fn from(error: WorkError) -> Self {
        match error {
            WorkError::Store(error) => error.into(),
            WorkError::Settings(error) => error.into(),
            WorkError::NoJob { .. } | WorkError::NoRecord(_) => Self::NotFound(error.to_string()),
            WorkError::Damaged { .. } | WorkError::Encode(_) | WorkError::EncodeDesk(_) => {
                Self::Fault(error.to_string())
            }
            error => Self::Use(error.to_string()),
        }
    }
}

impl From<store::Error> for Failure {
    fn from(error: store::Error) -> Self {
        match error {
            store::Error::Missing { .. } => Self::NotFound(error.to_string()),
            error => Self::Fault(error.to_string()),
        }
    }
}

impl From<TraceError> for Failure {
    fn from(error: TraceError) -> Self {
        match error {
            TraceError::Missing { .. } => Self::NotFound(error.to_string()),
            TraceError::Read { .. } => Self::Fault(error.to_string()),
            error => Self::Use(error.to_string()),
        }
    }
}

impl From<PlanError> for Failure {
    fn from(error: PlanError) -> Self {
        match error {
            PlanError::Settings(error) => error.into(),
            PlanError::Trace(error) => Self::Fault(error.to_string()),
            error @ PlanError::Shape { .. } => Self::Use(error.to_string()),
        }
    }
}

impl From<SettingsError> for Failure {
    fn from(error: SettingsError) -> Self {
        match error {
            SettingsError::NoMaterial { .. } | SettingsError::NoShopTable => Self::Use(error.to_string()),
            error => Self::Fault(error.to_string()),
        }
    }
}

/// Prints a result and gives its exit code. A reader that has gone away ends the output quietly.
pub(crate) fn show(result: Result<Report, Failure>, json: bool) -> ExitCode {
    let (out, err) = (&mut std::io::stdout(), &mut std::io::stderr());
    match result {
        Ok(report) => {
            let shown = match (json, &report.json) {
                (false, _) => report.text,
                // Nothing to say, or said already.
                (true, Value::Null) => String::new(),
                (true, json) => format!("{json:#}"),
            };
            if !shown.is_empty() {
                let _ = writeln!(out, "{shown}");
            }
            for hint in &report.hints {
                let _ = writeln!(err, "{hint}");
            }
            ExitCode::from(u8::from(report.status == Status::NotWithin))
        }
        Err(failure) => {
            let (text, code) = failure.parts();
            let _ = writeln!(err, "error: {text}");
            ExitCode::from(code)
        }
    }
}
