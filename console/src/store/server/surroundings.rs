//! What a process stands in: its environment, and who runs it.

use std::path::PathBuf;

/// What of the process is looked at, besides files.
pub(super) struct Surroundings<'a> {
    /// The environment.
    pub(super) environment: &'a dyn Fn(&str) -> Option<String>,
    /// The user's folder.
    pub(super) home: Option<PathBuf>,
    /// What the operating system calls the user.
    pub(super) user: Option<String>,
}

impl Surroundings<'static> {
    /// Those of this process.
    pub(super) fn here() -> Self {
        Self {
            environment: &|name| std::env::var(name).ok(),
            home: etcetera::home_dir().ok(),
            user: whoami::username().ok(),
        }
    }
}

impl Surroundings<'_> {
    /// A variable that says something.
    pub(super) fn variable(&self, name: &str) -> Option<String> {
        (self.environment)(name).filter(|value| !value.is_empty())
    }

    /// One of the files that libpq keeps for a user.
    #[cfg(not(windows))]
    pub(super) fn file_of_user(&self, name: &str) -> Option<PathBuf> {
        self.home.as_ref().map(|home| home.join(name))
    }

    /// One of the files that libpq keeps for a user: there it is in a folder of its own.
    #[cfg(windows)]
    pub(super) fn file_of_user(&self, name: &str) -> Option<PathBuf> {
        let name = match name {
            ".pgpass" => "pgpass.conf",
            _ => name.trim_start_matches(".postgresql/"),
        };
        Some(PathBuf::from(self.variable("APPDATA")?).join("postgresql").join(name))
    }
}
