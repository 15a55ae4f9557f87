//! The password file (libpq's, PostgreSQL 15's documentation, §34.16): `HOST:PORT:DATABASE:USER:PASSWORD`, the first line
//! that fits. A `*` alone fits everything; `\:` and `\\` are a colon and a backslash; a line that begins with `#` is none.
//!
//! Where others could read the file it is not used, and that is told.

use super::said::{Host, Secret};
use std::fs;
use std::io::{self, ErrorKind};
use std::path::Path;

/// Whose password is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Login<'a> {
    pub(super) host: &'a Host,
    pub(super) port: u16,
    pub(super) database: &'a str,
    pub(super) user: &'a str,
}

/// Why there is no password.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct NoPassword {
    pub(super) why: String,
    /// It is told even where no password is needed.
    pub(super) is_told: bool,
}

/// The password of a login in `file`; else why there is none.
pub(super) fn password(file: &Path, login: Login<'_>) -> Result<Secret, NoPassword> {
    let named = file.display();
    let none = |why| NoPassword { why, is_told: false };
    let unread = |error: io::Error| {
        none(match error.kind() {
            ErrorKind::NotFound => format!("there is no password file {named}"),
            _ => format!("the password file {named} cannot be read ({error})"),
        })
    };
    let found = fs::metadata(file).map_err(unread)?;
    if !found.is_file() {
        return Err(none(format!("the password file {named} is no file")));
    }
    if is_open_to_others(&found) {
        let why =
            format!("the password file {named} was not used, since others may read it (chmod 600 {named})");
        return Err(NoPassword { why, is_told: true });
    }
    let text = fs::read_to_string(file).map_err(unread)?;
    let fits = |(at, line)| Some((at + 1, of_line(line, login)?));
    let (at, password) = text
        .lines()
        .enumerate()
        .find_map(fits)
        .ok_or_else(|| none(format!("no line of the password file {named} fits")))?;
    Ok(Secret { password, found_in: format!("{named}, line {at}") })
}

#[cfg(unix)]
fn is_open_to_others(found: &fs::Metadata) -> bool {
    std::os::unix::fs::PermissionsExt::mode(&found.permissions()) & 0o077 != 0
}

/// Elsewhere the folder's own rules hold, as for libpq.
#[cfg(not(unix))]
fn is_open_to_others(_: &fs::Metadata) -> bool {
    false
}

/// The line that a password file needs for a login.
pub(super) fn line(login: Login<'_>) -> String {
    let escaped = |text: &str| text.replace('\\', "\\\\").replace(':', "\\:");
    let fields = [&login.host_there(), &login.port.to_string(), login.database, login.user].map(escaped);
    format!("{}:PASSWORD", fields.join(":"))
}

impl Login<'_> {
    /// What the file calls the host.
    fn host_there(self) -> String {
        if self.host.is_usual_folder() { "localhost".to_owned() } else { self.host.to_string() }
    }
}

/// The password on a line that fits.
fn of_line(line: &str, login: Login<'_>) -> Option<String> {
    if line.starts_with('#') {
        return None;
    }
    let fields = fields(line)?;
    let port = login.port.to_string();
    let host = login.host_there();
    let asked = [&host, &port, login.database, login.user];
    let fits = |(field, asked): (&Field, &str)| field.is_any || field.text == asked;
    let [of_login @ .., password] = &fields;
    of_login.iter().zip(asked).all(fits).then(|| password.text.clone())
}

/// A field of a line.
struct Field {
    text: String,
    /// It is a `*` that was not escaped.
    is_any: bool,
}

/// The five fields of a line; what stands behind the fifth is none of it.
fn fields(line: &str) -> Option<[Field; 5]> {
    let mut letters = line.chars();
    let mut at_end = false;
    let mut field = || {
        if at_end {
            return None;
        }
        let (mut text, mut escaped) = (String::new(), false);
        loop {
            match letters.next() {
                Some(':') => break,
                Some('\\') => {
                    escaped = true;
                    text.extend(letters.next());
                }
                Some(other) => text.push(other),
                None => {
                    at_end = true;
                    break;
                }
            }
        }
        Some(Field { is_any: !escaped && text == "*", text })
    };
    Some([field()?, field()?, field()?, field()?, field()?])
}
