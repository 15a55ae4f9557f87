//! Keypads: which are the shop's.

use super::MissingNumbers;
use bevelbook_core::link::plain;
use serde::Serialize;
use std::fmt;

/// The shop's keypads, and the serial ports that are plugged in.
#[derive(Serialize)]
pub(crate) struct Keypads {
    pub(crate) keypads: Vec<Keypad>,
    pub(crate) ports: Vec<PluggedIn>,
}

/// A port, and what says itself to be on it.
#[derive(Serialize)]
pub(crate) struct PluggedIn {
    pub(crate) port: String,
    pub(crate) what: String,
}

/// A keypad of the shop; `last` is its last record in the book.
#[derive(Serialize)]
pub(crate) struct Keypad {
    pub(crate) keypad: String,
    pub(crate) journal: String,
    /// At which of several it stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) station: Option<String>,
    pub(crate) last: Option<u32>,
    pub(crate) gaps: Vec<MissingNumbers>,
}

impl fmt::Display for Keypads {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let port =
            |PluggedIn { port, what }: &PluggedIn| format!("port {port}  {what}").trim_end().to_owned();
        let keypads = self.keypads.iter().map(Keypad::to_string);
        let lines = keypads.chain(self.ports.iter().map(port)).map(|line| plain(&line).collect::<String>());
        f.write_str(&lines.collect::<Vec<_>>().join("\n"))
    }
}

impl fmt::Display for Keypad {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { keypad, journal, station, last, gaps } = self;
        let records = last.map_or("no records yet".into(), |last| format!("records to {last}"));
        let at = station.as_ref().map_or_else(String::new, |station| format!("  at {station}"));
        write!(f, "{keypad}{at}  log id {journal}  {records}")?;
        for (at, MissingNumbers { from, to }) in gaps.iter().enumerate() {
            write!(f, "{}{from}", if at == 0 { ", GAPS: " } else { ", " })?;
            if from != to {
                write!(f, "-{to}")?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::ops::RangeInclusive;

    #[test]
    fn gaps_are_told_in_one_line() {
        let told = |gaps: Vec<RangeInclusive<u32>>| {
            let gaps = gaps.into_iter().map(MissingNumbers::from).collect();
            Keypad { keypad: "bench".into(), journal: "01".into(), station: None, last: Some(9), gaps }
                .to_string()
        };
        assert_eq!(told(vec![3..=3, 7..=8]), "bench  log id 01  records to 9, GAPS: 3, 7-8");
        assert_eq!(told(vec![]), "bench  log id 01  records to 9");
    }
}
