//! Which serial port is the keypad's.

use super::adoption::answered;
use super::edge::tell;
use super::{Failure, last_port};
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

/// Which of these ports is meant when nobody names one: the only one, or the one that was used last, also where it has
/// another path now.
fn meant<'p>(ports: &'p [ListedPort], last: Option<&ListedPort>) -> Option<&'p ListedPort> {
    if let [port] = ports {
        return Some(port);
    }
    let last = last?;
    let mut alike = ports.iter().filter(|port| port.what == last.what);
    let same = alike.clone().find(|port| port.path == last.path);
    let only = alike.next().filter(|_| alike.next().is_none());
    same.or(only)
}

/// Which port is meant, also after it was unplugged.
pub(super) struct Chosen {
    /// The path that was given, or the one that was used last.
    path: Option<PathBuf>,
    given: bool,
    /// The port that a keypad answered on last, in this run or before.
    last: Option<ListedPort>,
    /// Where that is kept.
    kept: PathBuf,
    /// Where a keypad answered in this run.
    answered: Option<PathBuf>,
}

/// The port of that name, the only one that may be a keypad's, or the one that was used last; of several a person chooses.
/// What was used last is kept beside the settings.
pub(super) fn choose(port: Option<&str>, kept: PathBuf) -> Result<Chosen, Failure> {
    let last = last_port::read(&kept);
    if let Some(path) = port.map(PathBuf::from) {
        if !path.exists() {
            return Err(port_failure(&PortError::Missing(path)));
        }
        return Ok(Chosen { path: Some(path), given: true, last, kept, answered: None });
    }
    let ports = keypads();
    // One that is not over USB is there or not; what is on it cannot be asked.
    let wired = last.as_ref().filter(|last| ports.is_empty() && !last.usb && Path::new(&last.path).exists());
    let path = match meant(&ports, last.as_ref()).or(wired) {
        Some(port) => Some(port.path.clone().into()),
        None if ports.is_empty() => None,
        None => Some(asked(&ports)?),
    };
    if let (Some(path), [_, _, ..] | []) = (&path, ports.as_slice()) {
        tell(&format!("port {}; another one with --port", path.display()));
    }
    Ok(Chosen { path, given: false, last, kept, answered: None })
}

/// Has a person choose; who cannot be asked is told which there are.
fn asked(ports: &[ListedPort]) -> Result<PathBuf, Failure> {
    let numbered: String =
        (1..).zip(ports).map(|(number, port)| format!("\n{number}  {}  {}", port.path, port.what)).collect();
    let chosen = answered(&format!("which port is the keypad on?{numbered}\nnumber: "))
        .and_then(|answer| ports.get(answer.parse::<usize>().ok()?.checked_sub(1)?));
    chosen.map(|port| port.path.clone().into()).ok_or_else(|| {
        let first = ports.first().map_or("PATH", |port| &port.path);
        Failure::Use(format!(
            "more than one port may be the keypad's{}\nname one, for example: bevelbook bench --port {first}",
            listed(ports)
        ))
    })
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
            if let Some(port) = meant(&ports, self.last.as_ref()) {
                self.path = Some(port.path.clone().into());
            }
        }
        Port::open(self.path.as_deref().unwrap_or_else(|| Path::new("for a keypad")))
    }

    /// A keypad answers on it: it is the one to be used next time.
    pub(super) fn answers(&mut self) {
        let Some(path) = self.path.as_ref().filter(|path| self.answered.as_ref() != Some(*path)) else {
            return;
        };
        let named = path.display().to_string();
        // It may have been given by another of its names.
        let device = path.canonicalize().ok();
        let same = |port: &ListedPort| Path::new(&port.path).canonicalize().ok() == device;
        let port = seen().into_iter().find(|port| device.is_some() && same(port));
        let port = port.unwrap_or(ListedPort { path: named, what: String::new(), usb: false });
        if self.last.as_ref() != Some(&port) {
            last_port::write(&self.kept, &port);
        }
        (self.answered, self.last) = (self.path.clone(), Some(port));
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

    #[test]
    fn of_several_ports_the_one_that_was_used_last_is_meant_wherever_it_is_now() {
        let port = |path: &str, what: &str| ListedPort { path: path.into(), what: what.into(), usb: true };
        let (drum, scale) = (port("/dev/ttyACM1", "USB drum"), port("/dev/ttyACM0", "USB scale"));
        let both = [scale.clone(), drum.clone()];
        assert_eq!(meant(&both, None), None);
        assert_eq!(meant(&both, Some(&drum)), Some(&drum));
        assert_eq!(
            meant(&both, Some(&port("/dev/ttyACM7", "USB drum"))),
            Some(&drum),
            "plugged in elsewhere"
        );
        assert_eq!(
            meant(&both, Some(&port("/dev/ttyACM1", "USB lamp"))),
            None,
            "its path has another one now"
        );
        assert_eq!(meant(&both[..1], Some(&drum)), Some(&scale), "there is no other");
        let twins = [port("/dev/ttyACM0", "USB drum"), drum.clone()];
        assert_eq!(meant(&twins, Some(&drum)), Some(&drum));
        assert_eq!(meant(&twins, Some(&port("/dev/ttyACM7", "USB drum"))), None, "nothing tells them apart");
    }
}
