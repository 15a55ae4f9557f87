//! Where the server's programs lie, and as whom they run: PostgreSQL refuses to run as root.

use std::env;
use std::fs;
use std::io::{self, Write};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Once;

/// Names the folder of the programs, or says `none`.
const VARIABLE: &str = "BEVELBOOK_POSTGRES";

/// Where Debian puts them: a folder for each version.
const DEBIAN: &str = "/usr/lib/postgresql";

/// The folder of the programs and the user they run as.
#[derive(Clone, Debug)]
pub(crate) struct Programs {
    folder: PathBuf,
    user: Option<User>,
}

/// An account by its numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct User {
    pub(crate) uid: u32,
    pub(crate) gid: u32,
}

impl Programs {
    /// The programs; `None` where tests are to do without, which is said on the error stream, once.
    pub(crate) fn find() -> Option<Self> {
        let named = env::var_os(VARIABLE);
        if named.as_deref().is_some_and(|named| named == "none") {
            static SAID: Once = Once::new();
            // Past the harness, which keeps what a test that passes prints.
            SAID.call_once(|| {
                let _ = writeln!(
                    io::stderr(),
                    "{VARIABLE}=none: tests that need a PostgreSQL server are passed over"
                );
            });
            return None;
        }
        let folder = match named {
            Some(folder) => complete(Path::new(&folder))
                .unwrap_or_else(|| panic!("{VARIABLE}: {} holds no postgres and initdb", folder.display())),
            None => in_path().or_else(debians).unwrap_or_else(|| {
                panic!(
                    "no PostgreSQL server is to be had for this test: install Debian's package postgresql, or name the \
                     folder of its programs by {VARIABLE}, or have such tests passed over by {VARIABLE}=none"
                )
            }),
        };
        let user = rustix::process::geteuid().is_root().then(other_than_root);
        Some(Self { folder, user })
    }

    /// A program, to be run in `folder` as the user who owns it.
    pub(crate) fn command(&self, program: &str, folder: &Path) -> Command {
        let mut command = Command::new(self.folder.join(program));
        command.current_dir(folder);
        if let Some(User { uid, gid }) = self.user {
            command.uid(uid).gid(gid);
        }
        command
    }

    /// Gives a file or a folder to the user that the programs run as.
    pub(crate) fn give(&self, path: &Path) {
        if let Some(User { uid, gid }) = self.user {
            std::os::unix::fs::chown(path, Some(uid), Some(gid)).expect("root gives its files away");
        }
    }
}

/// `folder` as it is called without links, if the server and what makes its folder are both there.
fn complete(folder: &Path) -> Option<PathBuf> {
    // Links to single programs lie in folders of PATH: the others lie where the link leads.
    let folder = fs::canonicalize(folder.join("postgres")).ok()?.parent()?.to_path_buf();
    folder.join("initdb").is_file().then_some(folder)
}

fn in_path() -> Option<PathBuf> {
    env::split_paths(&env::var_os("PATH")?).find_map(|folder| complete(&folder))
}

fn debians() -> Option<PathBuf> {
    let versions = fs::read_dir(DEBIAN).ok()?.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let mut versions: Vec<u32> = versions.filter_map(|version| version.parse().ok()).collect();
    versions.sort_unstable();
    versions.iter().rev().find_map(|version| complete(&Path::new(DEBIAN).join(format!("{version}/bin"))))
}

/// Whom root runs the server as: the account that Debian's package makes, or that of nobody.
fn other_than_root() -> User {
    let accounts = fs::read_to_string("/etc/passwd").expect("a list of accounts");
    ["postgres", "nobody"]
        .iter()
        .find_map(|name| account(&accounts, name))
        .expect("an account postgres or nobody, since the server refuses to run as root")
}

fn account(accounts: &str, name: &str) -> Option<User> {
    let line = accounts.lines().find_map(|line| line.strip_prefix(name)?.strip_prefix(':'))?;
    let mut fields = line.split(':').skip(1);
    Some(User { uid: fields.next()?.parse().ok()?, gid: fields.next()?.parse().ok()? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_account_is_found_by_its_whole_name() {
        let accounts = "postgresql:x:7:8::/:/bin/sh\npostgres:x:101:104:PostgreSQL administrator,,,:/var/lib:/bin/bash\n";
        assert_eq!(account(accounts, "postgres"), Some(User { uid: 101, gid: 104 }));
        assert_eq!(account(accounts, "nobody"), None);
    }

    #[test]
    fn a_folder_without_the_programs_is_not_taken() {
        let folder = tempfile::tempdir().expect("a folder");
        assert_eq!(complete(folder.path()), None);
        fs::write(folder.path().join("postgres"), "").expect("written");
        assert_eq!(complete(folder.path()), None, "initdb is missing");
    }
}
