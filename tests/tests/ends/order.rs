//! An order asked for step by step, in a terminal: typed to its end, and left in the middle.

use crate::process::{SIGNALS, ends, signal};
use crate::terminals::Terminal;
use bevelbook_tests::Shop;
use serde_json::json;

const NEW: [&str; 2] = ["job", "new"];

/// Types lines, each once what is to come before it is shown.
fn typed(terminal: &mut Terminal, lines: &[[&str; 2]]) {
    for [shown, line] in lines {
        terminal.shows(shown);
        terminal.press(&format!("{line}\r"));
    }
}

#[test]
fn an_order_is_typed_with_mistakes_seen_and_saved() {
    let shop = Shop::new();
    let mut terminal = Terminal::open(&shop, &NEW, false);
    typed(
        &mut terminal,
        &[
            ["customer ref", "K-17"],
            ["customer's name", "Ann Example"],
            ["right eye", "-0.50 x 170"],
            ["pl -0.50 x 170, or -0.50 DS", "-1.25 -0.75 x 15 add 2"],
            ["left eye", "-1.50 -0.50 x 170 ad 2.25"],
            ["adds usually match", "-"],
            ["[-1.50 -0.50 x 170 ad 2.25]", "-1.50 -0.50 x 170 +2.00 add"],
            ["PD, like", "31.5/31"],
            ["frame model", "Lindgren 7"],
            ["frame sizes", "50 38 18 53"],
            ["rim, like", "full rim"],
            ["metal or plastic: a full rim", "metal"],
            ["kind of lens", ""],
            ["heights above", "48"],
            ["outside the box, which is 38 mm high", "21/20.5"],
            ["lens material", "1.6"],
            ["treatments", "AR"],
            ["due", "tomorrow"],
            ["tray", "T4"],
            ["anything else", ""],
            ["save it?", ""],
        ],
    );
    terminal.shows("opened job 1; what is to be done: bevelbook plan 1");
    assert!(terminal.child.wait().unwrap().success());
    let order = shop.run(["job", "list", "--json"]).json()[0].clone();
    assert_eq!(
        [&order["lens"]["design"], &order["lens"]["material"]],
        [&json!("progressive"), &json!("i160")]
    );
    assert_eq!(order["tray"], "4");
    assert_eq!([&order["heights_mm"], &order["left"]["add_d"]], [&json!([21.0, 20.5]), &json!(2.0)]);
    assert!(shop.run(["job", "show", "1"]).stdout.contains("Ann Example"));
}

#[test]
fn the_pair_is_drawn_before_it_is_saved_and_a_no_saves_nothing() {
    let shop = Shop::new();
    let mut terminal = Terminal::open(&shop, &NEW, false);
    let answers =
        ["K-17", "", "-1.25 DS", "-1.50 DS", "62", "Lindgren 7", "50 38 18", "metal", "cr39", "", "", "", ""];
    for answer in answers {
        terminal.press(&format!("{answer}\r"));
    }
    terminal.shows("as you face the wearer");
    terminal.shows("+ boxed centre   x optical centre");
    terminal.shows("save it?");
    terminal.press("no\r");
    terminal.shows("nothing was saved");
    assert_eq!(terminal.child.wait().unwrap().exit_code(), 1);
    assert!(!shop.book().exists());
}

#[test]
fn a_key_or_a_signal_ends_it_with_nothing_saved() {
    // What a terminal of its own was told last may go with it, so that only the other one is looked at.
    for (key, own) in [("\u{3}", true), ("\u{4}", true), ("\u{4}", false)] {
        let shop = Shop::new();
        let mut terminal = Terminal::open(&shop, &NEW, own);
        typed(&mut terminal, &[["customer ref", "K-17"], ["customer's name", ""]]);
        terminal.shows("right eye");
        let id = terminal.id();
        ends(id, "a key", || terminal.press(key));
        if !own {
            terminal.shows("nothing was saved");
        }
        assert_eq!(terminal.child.wait().unwrap().exit_code(), 1);
        assert!(!shop.book().exists());
    }
    for name in SIGNALS {
        let shop = Shop::new();
        let mut terminal = Terminal::open(&shop, &NEW, true);
        terminal.shows("customer ref");
        let id = terminal.id();
        ends(id, name, || signal(id, name));
        assert_eq!(terminal.child.wait().unwrap().exit_code(), 1, "{name}");
        assert!(!shop.book().exists());
    }
}

#[test]
fn without_a_terminal_it_asks_nothing_and_says_the_flags() {
    let shop = Shop::new();
    let output = shop.run(NEW);
    assert_eq!((output.status, output.stdout.as_str()), (Some(2), ""), "{output:?}");
    for flag in ["--customer K-17", "--right \"-1.25 -0.75 x 15\"", "--from FILE", "in a terminal"] {
        assert!(output.stderr.contains(flag), "{flag}: {output:?}");
    }
}
