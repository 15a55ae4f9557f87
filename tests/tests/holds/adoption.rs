//! A keypad whose adoption is voided is not this shop's any more; what a keypad logged shows what does not hold.

use crate::ends::Ends;
use crate::rig::{Console, Keypad};
use crate::shop::{at_sizing, done, log};
use bevelbook_tests::Shop;
use serde_json::Value;

fn keypads(shop: &Shop) -> Vec<Value> {
    done(shop, &["keypad", "list", "--json"]).json()["keypads"].as_array().unwrap().clone()
}

#[test]
fn a_voided_adoption_takes_the_keypad_out_of_the_list_and_the_bench_asks_again() {
    let shop = Shop::new();
    let keypad = Keypad::start(&shop);
    let port = keypad.port.to_str().unwrap();
    // The first record of the book.
    done(&shop, &["keypad", "add", port, "--name", "bench", "--yes"]);
    assert_eq!(keypads(&shop).len(), 1);
    done(&shop, &["record", "void", "1"]);
    assert_eq!(keypads(&shop), [Value::Null; 0]);
    assert_eq!(shop.run(["keypad", "log", "bench"]).status, Some(3));
    // There is nobody to say yes.
    let asked = shop.run(["bench", "--port", port]);
    assert_eq!(asked.status, Some(2), "{asked:?}");
    assert!(asked.stderr.contains("keypad add"), "{asked:?}");
    // It can be adopted once more, also under the same name.
    done(&shop, &["keypad", "add", port, "--name", "bench", "--yes"]);
    let mut console = Console::with(&shop, &keypad.port, &[]);
    console.until("bench");
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_voided_new_name_gives_the_old_one_back() {
    let shop = Shop::new();
    for name in ["bench", "drum"] {
        done(&shop, &["keypad", "add", "00000000000000aa", "--name", name, "--yes"]);
    }
    done(&shop, &["record", "void", "2"]);
    let names: Vec<Value> = keypads(&shop).iter().map(|keypad| keypad["keypad"].clone()).collect();
    assert_eq!(names, ["bench"]);
}

#[test]
fn the_log_of_a_keypad_marks_what_was_voided_at_either_end() {
    let mut ends = Ends::of(at_sizing(1));
    ends.until("job 1 (");
    ends.press(&["centre", "up", "right", "right"]);
    ends.press(&["hold left"]);
    ends.keypad.until_synced();
    // The keypad undid its third pass, the console undoes the first.
    assert_eq!(ends.void(1).status, Some(0));
    let marks: Vec<(u64, Value)> = log(&ends.shop)
        .iter()
        .map(|record| (record["seq"].as_u64().unwrap(), record["void"].clone()))
        .collect();
    assert_eq!(marks, [(1, true.into()), (2, false.into()), (3, true.into()), (4, false.into())]);
    let text = ends.run(&format!("keypad log {}", ends.journal())).stdout;
    let marked: Vec<bool> = text.lines().map(|line| line.contains("UNDONE")).collect();
    assert_eq!(marked, [true, false, true, false], "{text}");
}
