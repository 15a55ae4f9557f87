//! How a server is reached: what is typed, what files and the environment say, and what a real server answers.

mod address;
#[cfg(unix)]
mod rights;
#[cfg(unix)]
mod servers;
#[cfg(unix)]
mod tables;
mod way;

use super::Address;
use super::surroundings::Surroundings;
use super::way::{NoWay, Way, find};
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;

/// A user's folder, and what stands in the environment.
struct Shop {
    home: TempDir,
    environment: Vec<(&'static str, String)>,
}

impl Shop {
    fn new() -> Self {
        let home = tempfile::tempdir().unwrap();
        // What the machine that tests says of services is none of theirs.
        let nowhere = home.path().join("nowhere").display().to_string();
        Self { home, environment: vec![("PGSYSCONFDIR", nowhere)] }
    }

    fn with(mut self, variable: &'static str, value: &str) -> Self {
        self.environment.push((variable, value.to_owned()));
        self
    }

    fn file(self, name: &str, text: &str) -> Self {
        self.file_of(name, text, 0o600)
    }

    fn file_of(self, name: &str, text: &str, mode: u32) -> Self {
        let file = self.at(name);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, text).unwrap();
        #[cfg(unix)]
        fs::set_permissions(&file, std::os::unix::fs::PermissionsExt::from_mode(mode)).unwrap();
        self
    }

    fn at(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// Does something as a process of the shop would.
    fn within<T>(&self, act: impl FnOnce(&Surroundings<'_>) -> T) -> T {
        let environment = |name: &str| {
            let found = self.environment.iter().rev().find(|(variable, _)| *variable == name);
            found.map(|(_, value)| value.clone())
        };
        act(&Surroundings {
            environment: &environment,
            home: Some(self.home.path().to_path_buf()),
            user: Some("edger".to_owned()),
        })
    }

    fn find(&self, address: &str) -> Result<Way, NoWay> {
        self.within(|around| find(&Address::read(address).unwrap(), around))
    }

    fn way(&self, address: &str) -> Way {
        self.find(address).unwrap_or_else(|why| panic!("{address}: {why}"))
    }

    fn refused(&self, address: &str) -> String {
        self.find(address).err().map_or_else(|| panic!("{address} leads somewhere"), |why| why.to_string())
    }

    /// The password for the first host.
    fn password(&self, address: &str) -> Result<String, String> {
        let way = self.way(address);
        way.hosts[0].password.clone().map(|secret| secret.password).map_err(|none| none.why)
    }
}
