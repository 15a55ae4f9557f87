//! Where each setting came from.

use serde::Serialize;
use std::collections::BTreeMap;
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
    /// What is in force where each of the `layers` is laid over those before it.
    pub(super) fn of<'a>(path: &Path, layers: impl IntoIterator<Item = (&'a Table, Origin)>) -> Self {
        let mut values = BTreeMap::new();
        for (layer, origin) in layers {
            lay(&mut values, "", layer, origin);
        }
        Self { path: path.into(), values: values.into_values().collect() }
    }
}

/// Lays the values of a table, which stands behind `prefix`, over those there are.
fn lay(values: &mut BTreeMap<String, Setting>, prefix: &str, table: &Table, origin: Origin) {
    for (name, value) in table {
        let name = format!("{prefix}{name}");
        match value {
            Value::Table(inner) => lay(values, &format!("{name}."), inner, origin),
            value => {
                values.insert(name.clone(), Setting { name, value: value.to_string(), origin });
            }
        }
    }
}
