//! The service file: a name under which a shop keeps all that is to be said of a server (libpq's, PostgreSQL 15's
//! documentation, §34.17).
//!
//! The user's file comes before the machine's. A file that was named must be there; the usual ones need not. Other than
//! libpq, spaces around `=` are no part of what they separate.

use super::said::{KNOWN, Said, Untaken};
use super::surroundings::Surroundings;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Why a service gave nothing.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum NoService {
    /// No file has it.
    #[error(
        "no service {name} is described in {looked_in}; begin it there with a line [{name}], or name another"
    )]
    Unknown {
        /// The service.
        name: String,
        /// The files that were looked into.
        looked_in: String,
    },
    /// A file cannot be read.
    #[error("the service file {file} cannot be read: {why}", file = file.display())]
    Unread {
        /// The file.
        file: PathBuf,
        /// What the system said.
        why: String,
    },
    /// A line says nothing that is known.
    #[error("the service file {file} has in line {line}: {text}; {right}", file = file.display())]
    Line {
        /// The file.
        file: PathBuf,
        /// From 1.
        line: usize,
        /// What stands there, but never a password.
        text: String,
        /// What would be right.
        right: &'static str,
    },
}

/// What is said of the service `name`.
pub(super) fn read(name: &str, around: &Surroundings<'_>) -> Result<Said, NoService> {
    let named = around.variable("PGSERVICEFILE").map(PathBuf::from);
    let must_be_there = named.is_some();
    let of_user = named.or_else(|| around.file_of_user(".pg_service.conf"));
    let folder = around.variable("PGSYSCONFDIR").map_or_else(|| PathBuf::from(SYSTEM_FOLDER), PathBuf::from);
    let of_machine = folder.join("pg_service.conf");
    let mut looked_in = Vec::new();
    for (file, must) in of_user.map(|file| (file, must_be_there)).into_iter().chain([(of_machine, false)]) {
        match fs::read_to_string(&file) {
            Ok(text) => match section(name, &text, &file)? {
                Some(said) => return Ok(said),
                None => looked_in.push(file),
            },
            Err(error) if error.kind() == ErrorKind::NotFound && !must => looked_in.push(file),
            Err(error) => return Err(NoService::Unread { file, why: error.to_string() }),
        }
    }
    let looked_in: Vec<_> = looked_in.iter().map(|file| file.display().to_string()).collect();
    Err(NoService::Unknown { name: name.to_owned(), looked_in: looked_in.join(" or ") })
}

/// Where the machine's file is: the folder of Debian's packages and of those that follow it.
const SYSTEM_FOLDER: &str = "/etc/postgresql-common";

/// The section of `name`, if there is one.
fn section(name: &str, text: &str, file: &Path) -> Result<Option<Said>, NoService> {
    let head = format!("[{name}]");
    let mut lines = text.lines().enumerate().skip_while(|(_, line)| line.trim() != head);
    if lines.next().is_none() {
        return Ok(None);
    }
    let mut said = Said::default();
    for (at, line) in lines.take_while(|(_, line)| !line.trim_start().starts_with('[')) {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let (parameter, value) = line.split_once('=').map_or((line, ""), |(p, v)| (p.trim(), v.trim()));
        let is_known = |name| name == "service" || KNOWN.iter().any(|(known, _)| *known == name);
        let wrong = |right| NoService::Line {
            file: file.to_path_buf(),
            line: at + 1,
            // What stands behind the = of any other may be a password, its name written wrong.
            text: if is_known(parameter) { line } else { parameter }.to_owned(),
            right,
        };
        if parameter == "service" {
            return Err(wrong("a service is described by itself, not by another one"));
        }
        let place = format!("{}, line {}", file.display(), at + 1);
        said.take(parameter, value, &place).map_err(|untaken| match untaken {
            Untaken::Unknown => {
                wrong("known is PARAMETER=VALUE with what a book's address may have behind its ?")
            }
            Untaken::Value(right) => wrong(right),
        })?;
    }
    Ok(Some(said))
}
