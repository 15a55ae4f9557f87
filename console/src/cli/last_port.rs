//! The port that a keypad answered on last, kept in a file beside the settings.
//!
//! It is a fact of this machine and not of the shop, so that it stands in no record. Whatever is wrong with the file, the
//! bench asks as if there were none.

use crate::keypad::ListedPort;
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::Path;

/// Its name.
pub(super) const NAME: &str = "last-port.toml";

const HEADING: &str = "# The port on which a keypad answered last; `bevelbook bench` takes it first.\n";

#[derive(Serialize, Deserialize)]
struct Kept {
    path: String,
    /// What the port says of itself.
    what: String,
    usb: bool,
}

pub(super) fn read(file: &Path) -> Option<ListedPort> {
    let text = crate::file::open(file).and_then(std::io::read_to_string).ok()?;
    let Kept { path, what, usb } = toml::from_str(&text).ok()?;
    Some(ListedPort { path, what, usb })
}

/// Keeps it, but for a pseudo-terminal: its name belongs to another program soon.
pub(super) fn write(file: &Path, port: &ListedPort) {
    let device = fs::canonicalize(&port.path).unwrap_or_default();
    let ListedPort { path, what, usb } = port.clone();
    if let (false, Ok(text)) = (device.starts_with("/dev/pts"), toml::to_string(&Kept { path, what, usb })) {
        let folder = file.parent().map_or(Ok(()), fs::create_dir_all);
        // Without it the next start asks once more.
        let _ = folder.and_then(|()| fs::write(file, format!("{HEADING}{text}")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_used_last_is_read_back_and_a_spoilt_file_is_none() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join(NAME);
        assert_eq!(read(&file), None);
        let port =
            ListedPort { path: "/dev/ttyACM0".into(), what: "USB 1209:0001 \"drum\"".into(), usb: true };
        write(&file, &port);
        assert_eq!(read(&file), Some(port.clone()));
        for spoilt in ["", "path = 3", "\u{0}"] {
            fs::write(&file, spoilt).unwrap();
            assert_eq!(read(&file), None, "{spoilt}");
        }
        let (beside, below) = (folder.path().join("settings").join(NAME), file.join(NAME));
        write(&beside, &port);
        write(&below, &port);
        assert_eq!((read(&beside), read(&below)), (Some(port), None), "no folder is within a file");
    }

    #[cfg(unix)]
    #[test]
    fn a_pseudo_terminal_is_not_kept() {
        let folder = tempfile::tempdir().unwrap();
        let (file, pty) = (folder.path().join(NAME), crate::keypad::Pty::open().unwrap());
        let path = pty.path().display().to_string();
        write(&file, &ListedPort { path, what: String::new(), usb: false });
        assert!(!file.exists());
    }
}
