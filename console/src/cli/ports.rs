//! Which serial port is the keypad's.

use super::Failure;
use crate::keypad::{ListedPort, Port, PortError, seen};
use std::path::{Path, PathBuf};

pub(super) fn port_failure(error: &PortError) -> Failure {
    match error {
        PortError::Missing { .. } => Failure::NotFound(format!("{error}{}", listed(&seen()))),
        error => Failure::fault(error),
    }
}

/// The ports there are, for the end of a message.
fn listed(ports: &[ListedPort]) -> String {
    if ports.is_empty() {
        return "; no serial port is plugged in".into();
    }
    let lines = ports.iter().map(|port| format!("\n  {}  {}", port.path, port.what).trim_end().to_owned());
    format!("; these are plugged in:{}", lines.collect::<String>())
}

/// The ports that are taken without being named: a port that is not over USB may have anything on it, or nothing.
fn keypads() -> Vec<ListedPort> {
    seen().into_iter().filter(|port| port.usb).collect()
}

/// Which port is meant, also after it was unplugged.
pub(super) struct Chosen {
    /// The path that was given, or the one that was used last.
    path: Option<PathBuf>,
    given: bool,
}

/// The port of that name, or the only one that may be a keypad's.
pub(super) fn choose(port: Option<&str>) -> Result<Chosen, Failure> {
    if let Some(path) = port.map(PathBuf::from) {
        if !path.exists() {
            return Err(port_failure(&PortError::Missing(path)));
        }
        return Ok(Chosen { path: Some(path), given: true });
    }
    let ports = keypads();
    if let [first, _, ..] = ports.as_slice() {
        return Err(Failure::Use(format!(
            "more than one port may be the keypad's{}\nname one, for example: bevelbook bench --port {}",
            listed(&ports),
            first.path
        )));
    }
    Ok(Chosen { path: ports.first().map(|port| port.path.clone().into()), given: false })
}

impl Chosen {
    /// Where it is, or was last.
    pub(super) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Opens it; a keypad that is plugged in again is found under its new name.
    pub(super) fn open(&mut self) -> Result<Port, PortError> {
        if !self.given && !self.path.as_ref().is_some_and(|path| path.exists()) {
            let ports = keypads();
            if let [port] = ports.as_slice() {
                self.path = Some(port.path.clone().into());
            }
        }
        Port::open(self.path.as_deref().unwrap_or_else(|| Path::new("for a keypad")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn several_ports_are_listed_with_what_they_say_of_themselves() {
        let port = |path: &str, what: &str| ListedPort { path: path.into(), what: what.into(), usb: true };
        let ports = [port("/dev/ttyACM0", "USB 1209:0001 keypad"), port("/dev/ttyS0", "")];
        assert_eq!(
            listed(&ports),
            "; these are plugged in:\n  /dev/ttyACM0  USB 1209:0001 keypad\n  /dev/ttyS0"
        );
        assert_eq!(listed(&[]), "; no serial port is plugged in");
    }
}
