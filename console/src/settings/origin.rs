//! Where each setting came from.

use std::path::{Path, PathBuf};
use toml::{Table, Value};

/// Where a value came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The program's own table.
    Default,
    /// The shop's file.
    File,
}

/// Every setting in force, by its dotted name, with its origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The shop's file, whether or not it is there.
    pub path: PathBuf,
    /// Name, value as TOML, origin.
    pub values: Vec<(String, String, Origin)>,
}

impl Shown {
    pub(super) fn of(path: &Path, defaults: &Table, own: &Table) -> Self {
        let mut values = Vec::new();
        collect("", defaults, own, &mut values);
        Self { path: path.into(), values }
    }
}

fn collect(prefix: &str, defaults: &Table, own: &Table, values: &mut Vec<(String, String, Origin)>) {
    let empty = Table::new();
    let added = own.keys().filter(|name| !defaults.contains_key(*name));
    for name in defaults.keys().chain(added) {
        let path = if prefix.is_empty() { name.clone() } else { format!("{prefix}.{name}") };
        match (defaults.get(name), own.get(name)) {
            (Some(Value::Table(below)), above) => {
                collect(&path, below, above.and_then(Value::as_table).unwrap_or(&empty), values);
            }
            (None, Some(Value::Table(above))) => collect(&path, &empty, above, values),
            (_, Some(value)) => values.push((path, value.to_string(), Origin::File)),
            (Some(value), None) => values.push((path, value.to_string(), Origin::Default)),
            (None, None) => {}
        }
    }
}
