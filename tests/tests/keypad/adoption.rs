//! A keypad is this shop's only after a yes.

use crate::rig::Keypad;
use crate::shop::{at_sizing, done};

#[test]
fn a_new_keypad_is_refused_without_a_yes_and_the_command_is_named() {
    let shop = at_sizing(1);
    let keypad = Keypad::start(&shop);
    let output = shop.run(["bench", "--port", keypad.port.to_str().unwrap()]);
    assert_eq!(output.status, Some(2), "{output:?}");
    assert!(output.stdout.contains("new keypad: it calls itself `software`"), "{output:?}");
    let told = output.stderr.split_once("bevelbook keypad add ").map(|(_, rest)| rest.split_whitespace());
    let told: Vec<String> = told.unwrap().map(str::to_owned).collect();
    assert_eq!(told[1..], ["--name", "bench"], "{output:?}");
    let named = told[0].clone();
    assert_eq!(done(&shop, &["keypad", "list", "--json"]).json()["keypads"].as_array().unwrap().len(), 0);

    // What the message says works, in the same words; without a person to ask it takes a yes in the command.
    let unasked = shop.run(["keypad", "add", &named, "--name", "bench"]);
    assert_eq!(unasked.status, Some(2), "{unasked:?}");
    done(&shop, &["keypad", "add", &named, "--name", "bench", "--yes"]);
    let list = done(&shop, &["keypad", "list", "--json"]).json();
    assert_eq!(
        (&list["keypads"][0]["keypad"], &list["keypads"][0]["journal"]),
        (&"bench".into(), &named.into())
    );
    assert_eq!(done(&shop, &["keypad", "log", "bench", "--json"]).json(), serde_json::json!([]));
}

#[test]
fn two_keypads_do_not_share_a_name() {
    let shop = at_sizing(1);
    done(&shop, &["keypad", "add", "00000000000000aa", "--name", "bench", "--yes"]);
    let same = shop.run(["keypad", "add", "00000000000000bb", "--name", "bench", "--yes"]);
    assert_eq!(same.status, Some(2));
    assert!(same.stderr.contains("another keypad is called `bench`"), "{same:?}");
    done(&shop, &["keypad", "add", "00000000000000aa", "--name", "drum", "--yes"]);
    let list = done(&shop, &["keypad", "list", "--json"]).json();
    assert_eq!(list["keypads"].as_array().unwrap().len(), 1);
    let nobody = shop.run(["keypad", "log", "bench"]);
    assert_eq!(nobody.status, Some(3));
    assert!(nobody.stderr.contains("known: drum"), "{nobody:?}");
}

#[test]
fn a_port_that_is_not_there_is_named() {
    let shop = at_sizing(1);
    let output = shop.run(["bench", "--port", "no-such-port"]);
    assert_eq!(output.status, Some(3), "{output:?}");
    assert!(output.stderr.contains("there is no port no-such-port"), "{output:?}");
}
