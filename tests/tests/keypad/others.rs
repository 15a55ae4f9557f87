//! Other consoles write, ports vanish and come back.

use crate::rig::{Console, Keypad};
use crate::shop::{assert_whole, at_sizing, done, open_job};
use std::fs;
use std::os::unix::fs::symlink;

#[test]
fn a_job_that_another_console_opens_appears_on_the_keypad_and_goes_when_it_is_closed() {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("job 1 (");
    keypad.until_screen("1 T1 Lindgr");
    open_job(&shop, 2);
    console.until("job 2 (Lindgren 7 50/18) is on the keypad");
    keypad.until_screen("2 T2 Lindgr");
    done(&shop, &["job", "close", "1", "--despite", "a test"]);
    console.until("job 1 is off the keypad");
    let screen = keypad.until_screen("> 2 T2");
    assert!(!screen.contains("1 T1"), "{screen}");
}

#[test]
fn a_pass_typed_at_another_console_shows_on_the_keypad() {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("job 1 (");
    keypad.send(&["centre"]);
    keypad.until_screen("big at +0.60");
    done(&shop, &["record", "pass", "1", "r", "0.35", "just"]);
    keypad.until_screen("big at +0.35");
    keypad.send(&["down", "wait 310"]);
    let line = console.until("right: ");
    assert!(line.contains("job 1  right: ") && line.contains("fits (rim closes, lens firm)"), "{line}");
    assert_whole(&shop, 1);
}

#[test]
fn a_keypad_that_is_unplugged_and_comes_back_on_another_port_goes_on() {
    let shop = at_sizing(1);
    let port = shop.folder().join("port");
    let mut keypad = Keypad::start(&shop);
    symlink(&keypad.port, &port).unwrap();
    let mut console = Console::start(&shop, &port);
    console.until("job 1 (");
    keypad.send(&["centre", "up", "wait 310"]);
    console.until("much too big");
    for round in 2..=3 {
        keypad.send(&["quit"]);
        keypad.wait();
        console.until("waiting for keypad; its port is gone");
        fs::remove_file(&port).unwrap();
        keypad = Keypad::start(&shop);
        keypad.send(&["up", "wait 310"]);
        assert_eq!(keypad.ask("saved"), round);
        symlink(&keypad.port, &port).unwrap();
        let line = console.until("connected, ");
        assert!(line.contains("1 record waiting"), "{line}");
        console.until("much too big");
    }
    keypad.until_synced();
    assert_whole(&shop, 3);
    assert_eq!(console.end(), Some(0));
}

#[test]
fn a_port_is_for_one_console() {
    let shop = at_sizing(1);
    let keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("connected, ");
    let second = shop.run(["bench", "--port", keypad.port.to_str().unwrap()]);
    assert_eq!(second.status, Some(4));
    assert!(second.stderr.contains("in use by another program"), "{second:?}");
}

#[test]
fn a_keypad_on_a_port_is_adopted_by_its_port() {
    let shop = at_sizing(1);
    let keypad = Keypad::start(&shop);
    let port = keypad.port.to_str().unwrap();
    done(&shop, &["keypad", "add", port, "--yes", "--name", "bench"]);
    let mut console = Console::with(&shop, &keypad.port, &[]);
    console.until("keypad bench connected, ");
}

#[test]
fn a_job_opened_at_the_keypad_is_filed_under_its_order() {
    let shop = at_sizing(1);
    let mut keypad = Keypad::start(&shop);
    let mut console = Console::start(&shop, &keypad.port);
    console.until("job 1 (");
    keypad.send(&["hold centre"]);
    for _ in 0..12 {
        if keypad.screen().contains("> walk-in, no order") {
            break;
        }
        keypad.send(&["down"]);
    }
    assert!(keypad.screen().contains("> walk-in, no order"), "{}", keypad.screen());
    // Of a metal rim, which stands first.
    keypad.send(&["centre", "centre"]);
    console.until("walk-in opened, metal rim");
    let listed = done(&shop, &["job", "list"]);
    let hint = listed.stderr.lines().find(|line| line.contains("belongs to no order yet")).unwrap();
    let own = hint.split("job attach ").nth(1).unwrap().split(' ').next().unwrap().to_owned();
    done(&shop, &["job", "attach", &own, "1"]);
    let shown = done(&shop, &["job", "show", "1"]).stdout;
    assert!(shown.contains("walk-in opened, metal rim"), "{shown}");
    assert!(!done(&shop, &["job", "list"]).stderr.contains("belongs to no order yet"));
}
