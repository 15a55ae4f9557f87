//! What can be wrong with settings.

use super::Overlong;
use std::path::{Path, PathBuf};

/// Why the settings cannot be used. The message names the file and the value.
#[derive(Debug, thiserror::Error)]
pub enum SettingsError {
    /// The file cannot be read.
    #[error("cannot read the {what} {path}: {source}")]
    Read {
        /// What the file is: the settings, or a tolerance table.
        what: &'static str,
        /// The file.
        path: PathBuf,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// The file is not TOML, or a value does not fit.
    #[error("in the {what} {path}: {source}")]
    Malformed {
        /// What the file is.
        what: &'static str,
        /// The file.
        path: PathBuf,
        /// What does not fit, and where.
        source: Box<toml::de::Error>,
    },
    /// A name or a text has no room.
    #[error("in the {what} {path}: {name} has {long}")]
    Overlong {
        /// What the file is.
        what: &'static str,
        /// The file.
        path: PathBuf,
        /// What the text stands under.
        name: String,
        /// How long it is.
        long: Overlong,
    },
    /// A figure that must be above zero is not.
    #[error("in the settings {path}: {name} is {found} and must be above 0")]
    Impossible {
        /// The file.
        path: PathBuf,
        /// The value.
        name: &'static str,
        /// What it holds, with its unit.
        found: String,
    },
    /// The material is not in the table.
    #[error("no material `{key}` in the settings; known are {known}")]
    NoMaterial {
        /// What was asked for.
        key: String,
        /// What there is.
        known: String,
    },
    /// The safety rule is not in the table.
    #[error("no safety rule `{name}` in the settings; {known}")]
    NoSafety {
        /// What was asked for.
        name: String,
        /// What there is.
        known: String,
    },
    /// More than one material is written so.
    #[error("`{written}` is more than one material of the settings; name one of {those}")]
    Materials {
        /// What was written.
        written: String,
        /// What it may be.
        those: String,
    },
    /// A word stands for two treatments.
    #[error("in the settings {path}: {word} stands for two treatments, {} and {}; leave it to one", .both[0], .both[1])]
    SaidTwice {
        /// The file.
        path: PathBuf,
        /// The word.
        word: String,
        /// Their keys.
        both: [String; 2],
    },
    /// The file lists treatments for a light grip, as it did before pad and clamp were told apart.
    #[error(
        "in the settings {path}: [grip] is no more: pad and clamp are two things, said of each treatment. In its place \
         write, of each, slippery where a lens slips on its pad and crazes where the coat crazes in a tight clamp:\n{instead}"
    )]
    Grip {
        /// The file.
        path: PathBuf,
        /// The list as it is written now.
        instead: String,
    },
    /// The shop's own table is asked for and there is none.
    #[error(
        "no tolerance table of the shop's own; write one (`bevelbook settings tolerances` shows an example) and name \
         it in the settings: tolerance.shop_table = \"tolerances.toml\""
    )]
    NoShopTable,
    /// The platform names no home folder.
    #[error("no home folder to look for settings in; set HOME, or name the file with --settings")]
    NoHome,
}

impl SettingsError {
    /// An error where a text of `what` at `path` has no room.
    pub(super) fn overlong(
        what: &'static str,
        path: &Path,
        found: Option<(String, Overlong)>,
    ) -> Result<(), Self> {
        found.map_or(Ok(()), |(name, long)| Err(Self::Overlong { what, path: path.into(), name, long }))
    }

    /// An error where the file says what is written in another way now.
    pub(super) fn former(path: &Path, own: &toml::Table) -> Result<(), Self> {
        let Some(grip) = own.get("grip") else { return Ok(()) };
        let listed = grip.get("light").and_then(toml::Value::as_array).into_iter().flatten();
        let key = |name: &str| name.to_lowercase().replace(|c: char| !c.is_ascii_alphanumeric(), "-");
        let instead = listed
            .filter_map(toml::Value::as_str)
            .map(|name| format!("[treatment.{}]\nslippery = true\ncrazes = true", key(name)));
        Err(Self::Grip { path: path.into(), instead: instead.collect::<Vec<_>>().join("\n") })
    }

    pub(super) fn malformed(what: &'static str, path: &Path, source: toml::de::Error) -> Self {
        Self::Malformed { what, path: path.into(), source: Box::new(source) }
    }
}
