//! Where each setting came from.

use serde::Serialize;
use std::fmt;
use std::path::{Path, PathBuf};
use toml::{Table, Value};

/// Where a value came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// The program's table of materials.
    Facts,
    /// The program's own table.
    Default,
    /// The shop's file.
    File,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Facts => "facts",
            Self::Default => "default",
            Self::File => "file",
        })
    }
}

/// One setting in force.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Setting {
    /// Its dotted name.
    pub name: String,
    /// Its value as TOML.
    pub value: String,
    /// Where it came from.
    pub origin: Origin,
}

/// Every setting in force.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The shop's file, whether or not it is there.
    pub path: PathBuf,
    /// The settings.
    pub values: Vec<Setting>,
}

impl Shown {
    /// What is in force is in `merged`; the first of the `layers` that has a value is where it came from.
    pub(super) fn of(path: &Path, merged: &Table, layers: &[(&Table, Origin)]) -> Self {
        let mut values = Vec::new();
        collect(&mut Vec::new(), merged, layers, &mut values);
        Self { path: path.into(), values }
    }
}

fn collect<'a>(
    before: &mut Vec<&'a str>,
    merged: &'a Table,
    layers: &[(&Table, Origin)],
    values: &mut Vec<Setting>,
) {
    for (name, value) in merged {
        before.push(name);
        match value {
            Value::Table(inner) => collect(before, inner, layers, values),
            value => {
                let origin = layers.iter().find(|(layer, _)| holds(layer, before));
                let origin = origin.map_or(Origin::Default, |(_, origin)| *origin);
                values.push(Setting { name: before.join("."), value: value.to_string(), origin });
            }
        }
        before.pop();
    }
}

/// Whether a value stands at this place.
fn holds(table: &Table, path: &[&str]) -> bool {
    match path {
        [] => true,
        [name] => table.contains_key(*name),
        [name, rest @ ..] => {
            table.get(*name).and_then(Value::as_table).is_some_and(|inner| holds(inner, rest))
        }
    }
}
