//! The wiring in the builder's guide is that of the firmware: table and drawing are made from the firmware's own pins.
//!
//! After a change of the pins: `BEVELBOOK_RENEW=1 cargo test -p bevelbook-tests --test pico wiring`.

use crate::drawing::drawing;
use crate::wires::{EDGE, Part, SIGNALS, SUPPLIES};
use bevelbook_tests::build::root;
use std::fs;

const BEGIN: &str = "<!-- wiring: made from boards/pico/src/pins.rs -->\n";
const END: &str = "<!-- end of wiring -->\n";

/// The table: part by part, in the order of the board's edge.
fn table() -> String {
    let signals = SIGNALS.iter().map(|wire| (wire.part, wire.edge(), wire.mark));
    let mut rows: Vec<_> =
        signals.chain(SUPPLIES.iter().map(|wire| (wire.part, wire.edge, wire.mark))).collect();
    rows.sort_by_key(|(part, edge, _)| (*part as u8, *edge));
    let mut table = String::from("| part | its terminal | Pico pin | called |\n|---|---|---|---|\n");
    for (part, edge, mark) in rows {
        let part = match part {
            Part::Keys if mark == "GND" => "keys, other contact of each",
            Part::Keys => "key",
            Part::Display => "display",
            Part::Memory => "memory",
            Part::Buzzer => "buzzer, if you want one",
        };
        table += &format!("| {part} | {mark} | {edge} | {} |\n", EDGE[usize::from(edge) - 1]);
    }
    table
}

/// Compares a file with what it should hold, or renews it.
fn same_or_renewed(path: &str, wanted: &str) {
    let file = root().join(path);
    if std::env::var_os("BEVELBOOK_RENEW").is_some() {
        fs::write(file, wanted).unwrap();
        return;
    }
    let found = fs::read_to_string(file).unwrap_or_default();
    assert!(found == wanted, "{path} is not what the pins say; renew it as this test's file says");
}

#[test]
fn the_wiring_drawing_is_that_of_the_pins() {
    same_or_renewed("firmware-example/boards/pico/wiring.svg", &drawing());
}

#[test]
fn the_wiring_table_is_that_of_the_pins() {
    let path = "firmware-example/README.md";
    let guide = fs::read_to_string(root().join(path)).unwrap();
    let (before, rest) = guide.split_once(BEGIN).expect("the guide marks where the table begins");
    let (_, after) = rest.split_once(END).expect("the guide marks where the table ends");
    same_or_renewed(path, &format!("{before}{BEGIN}\n{}\n{END}{after}", table()));
}
