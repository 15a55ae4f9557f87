//! `record pass` and what all of `record` shares, run as a person runs them: what is said, what is recorded, and
//! what is refused.

mod bench;

use bench::{ABSOLUTE, bench, done, pass, pass_json, records, refused, without_station};
use serde_json::{Value, json};

#[test]
fn an_absolute_dial_gives_the_size_itself_on_its_own_basis() {
    for basis in ["radius", "diameter", "girth"] {
        let shop = bench(&["--basis", basis, "--absolute", "--step", "0.05"]);
        pass(&shop, "r", "0.50", "far");
        pass(&shop, "r", "0.25", "just");
        let said = pass(&shop, "right", "-0.05", "fits").stdout;
        assert!(said.contains(&format!("size now -0.05 mm on {basis}, was +0.25 mm on {basis}\n")), "{said}");
        assert!(said.contains("fits (rim closes, lens firm)"), "{said}");
        assert!(
            said.ends_with("next: check the right lens: pin bevel (safety chamfer), both edges\n"),
            "{said}"
        );
    }
}

#[test]
fn a_take_off_dial_is_summed_on_its_own_basis() {
    for basis in ["radius", "diameter", "girth"] {
        let shop = bench(&["--basis", basis, "--take-off-from", "0.5", "--step", "0.05"]);
        let mut fact = Value::Null;
        for (size, outcome, left) in [("0", "far", 0.5), ("0.25", "just", 0.25), ("0.10", "fits", 0.15)] {
            fact = pass_json(&shop, "l", size, outcome);
            assert_eq!(fact["size"], json!({ "basis": basis, "low_mm": left, "high_mm": left }), "{fact}");
        }
        assert_eq!(fact["counting"], "take-off");
        assert_eq!(fact["take_off_from_mm"], 0.5);
        assert_eq!(fact["dialled_mm"], 0.1);
        assert_eq!(
            (&fact["eye"], &fact["lens"], &fact["outcome"]),
            (&json!("left"), &json!(1), &json!("fits"))
        );
        assert!(refused(&shop, ["record", "pass", "1", "r", "-0.1", "far"], 2).contains("starts at 0"));
    }
}

#[test]
fn the_hand_is_asked_in_the_words_of_its_rim() {
    for (rim, words) in [("plastic", "enters, stands proud"), ("rimless", "just over the shape")] {
        let shop = without_station(rim);
        done(&shop, ["station", "dial"].into_iter().chain(ABSOLUTE));
        let said = pass(&shop, "r", "0.3", "just-too-big").stdout;
        assert!(said.contains(&format!("a touch too big ({words})")), "{said}");
    }
}

#[test]
fn what_was_advised_is_recorded_and_told_where_something_else_was_dialled() {
    let shop = bench(&ABSOLUTE);
    let log = |shop: &_| done(shop, ["job", "show", "1"]).stdout;
    let first = pass_json(&shop, "r", "0.40", "far");
    assert_eq!(first["advised_mm"], 0.4);
    assert!(!log(&shop).contains("advised"));
    // The shop's step is 0.20.
    let second = pass_json(&shop, "r", "0.10", "fits");
    assert_eq!((&second["dialled_mm"], &second["advised_mm"]), (&json!(0.1), &json!(0.2)));
    let log = log(&shop);
    assert!(log.contains("+0.10 mm on diameter: fits (rim closes, lens firm), advised +0.20 mm"), "{log}");
    assert_eq!(log.matches("advised").count(), 1, "{log}");
    // It fits: nothing is advised any more.
    assert_eq!(pass_json(&shop, "r", "0.10", "fits")["advised_mm"], Value::Null);
}

#[test]
fn what_would_go_past_the_fit_is_refused_and_not_recorded() {
    let shop = bench(&ABSOLUTE);
    pass(&shop, "r", "0.2", "fits");
    let before = records(&shop);
    let error = refused(&shop, ["record", "pass", "1", "r", "0.15", "fits"], 2);
    assert!(error.contains("this lens fits this rim at +0.20 mm on diameter"), "{error}");
    assert!(error.contains("nothing was recorded"), "{error}");
    assert_eq!(records(&shop), before);
    // The other lens in the other rim is free to go smaller; it is only said.
    let other = pass(&shop, "l", "0.15", "just");
    assert!(other.stderr.contains("hint: the right lens of this job fitted larger, at +0.20 mm on diameter"));

    let output = done(&shop, ["record", "pass", "1", "r", "0.15", "fits", "--past", "--json"]);
    assert_eq!(output.json()["past"], true);
    assert!(output.stderr.contains("hint: cut in spite of STOP: this lens fits this rim at +0.20"));
    let last = records(&shop).pop().unwrap();
    assert!(last["says"].as_str().unwrap().contains("in spite of STOP"), "{last}");
}

#[test]
fn a_pass_that_was_broken_off_leaves_a_span_until_it_is_settled() {
    let shop = bench(&ABSOLUTE);
    pass(&shop, "r", "0.4", "far");
    let output = pass(&shop, "r", "0.2", "abandoned");
    assert!(output.stdout.contains("size now between +0.20 and +0.40 mm on diameter"), "{output:?}");
    assert!(output.stderr.contains("known again once +0.20 mm has run to its end"), "{output:?}");
    let settled = pass_json(&shop, "r", "0.2", "just");
    assert_eq!(settled["size"], json!({ "basis": "diameter", "low_mm": 0.2, "high_mm": 0.2 }));
    let first = pass(&shop, "l", "0.4", "abandon");
    assert!(first.stdout.contains("not below +0.40 mm, not yet cut to size"), "{first:?}");
    assert!(first.stderr.contains("cut it again, at +0.40 mm on diameter"), "{first:?}");
}

#[test]
fn a_figure_between_two_steps_is_refused_with_both() {
    let shop = bench(&ABSOLUTE);
    let error = refused(&shop, ["record", "pass", "1", "r", "0.37", "just"], 2);
    assert!(error.contains("0.37 mm is not on the dial; its steps are at 0.35 and 0.40 mm"), "{error}");
    let error = refused(&shop, ["record", "pass", "1", "r", "35", "just"], 2);
    assert!(error.contains("decimal point"), "{error}");
    assert_eq!(records(&shop).len(), 1);
}

#[test]
fn a_pass_that_takes_nothing_off_is_said_to() {
    let shop = bench(&ABSOLUTE);
    assert_eq!(pass(&shop, "r", "0.2", "just").stderr, "");
    let output = pass(&shop, "r", "0.3", "just");
    assert!(output.stderr.contains("took nothing off: the lens was at +0.20 mm on diameter"), "{output:?}");
    assert!(output.stdout.contains("size now +0.20 mm on diameter\n"), "{output:?}");
}

#[test]
fn a_loose_lens_is_remade_with_the_command_that_is_shown() {
    let shop = bench(&ABSOLUTE);
    let output = pass(&shop, "l", "0.1", "loose");
    assert!(output.stdout.contains("loose (rim closes, lens turns)"), "{output:?}");
    assert!(output.stdout.ends_with("next: remake the left lens: it is loose\n"), "{output:?}");
    let (_, command) = output.stderr.trim().split_once("remake it with: bevelbook ").unwrap();
    done(&shop, command.split(' '));
    let fact = pass_json(&shop, "l", "0.3", "just");
    assert_eq!(fact["lens"], 2);
    assert_eq!(fact["size"]["low_mm"], 0.3);
}

#[test]
fn no_pass_is_recorded_before_the_dial_is_stated() {
    let shop = without_station("metal");
    let shown = done(&shop, ["station"]);
    assert!(shown.stdout.contains("has not stated its dial"), "{shown:?}");
    let error = refused(&shop, ["record", "pass", "1", "r", "0.3", "far"], 2);
    let command = error.lines().find_map(|line| line.trim().strip_prefix("bevelbook ")).unwrap();
    done(&shop, command.split(' '));
    pass(&shop, "r", "0.3", "far");
    assert_eq!(records(&shop).len(), 2);
}

#[test]
fn a_void_says_what_it_undid_and_undoes_it() {
    let shop = bench(&ABSOLUTE);
    pass(&shop, "r", "0.4", "far");
    let wrong = pass_json(&shop, "r", "0.2", "fits");
    let number = format!("#{}", wrong["record"]["seq"]);
    let output = done(&shop, ["record", "void", &number]);
    let said = output.stdout;
    assert!(said.contains(&format!("undid {number} of job 1: ")), "{said}");
    assert!(said.contains("+0.20 mm on diameter: fits"), "{said}");
    assert!(said.contains("right lens: size now +0.40 mm on diameter"), "{said}");
    // The guard that this fit had raised is gone too.
    pass(&shop, "r", "0.1", "just");
    assert!(refused(&shop, ["record", "void", &number], 2).contains("it is void already"));
    assert!(refused(&shop, ["record", "void", "900"], 3).contains("no record 900 in the book"));
    assert!(refused(&shop, ["record", "void", "last"], 3).contains("no record last"));
    // By journal and number.
    let fact = pass_json(&shop, "l", "0.4", "far");
    let full = format!("{}:{}", fact["record"]["journal"].as_str().unwrap(), fact["record"]["seq"]);
    let void = done(&shop, ["record", "void", &full, "--json"]).json();
    assert_eq!((&void["target"], &void["job"]), (&fact["record"], &json!(1)));
    assert_eq!(void["size"], Value::Null);
}

#[test]
fn a_voided_dial_is_not_stated_any_more() {
    let shop = without_station("metal");
    let stated = done(&shop, ["station", "dial"].into_iter().chain(ABSOLUTE).chain(["--json"])).json();
    assert_eq!(done(&shop, ["station", "--json"]).json()["dial"], stated["dial"]);
    let said = done(&shop, ["record", "void", &stated["record"]["seq"].to_string()]).stdout;
    assert!(said.contains("sizes on diameter"), "{said}");
    assert_eq!(done(&shop, ["station", "--json"]).json(), json!({ "dial": null }));
}

#[test]
fn two_consoles_that_record_at_once_lose_nothing() {
    const EACH: usize = 40;
    let shop = bench(&ABSOLUTE);
    let before = records(&shop).len();
    let record = |eye| {
        (0..EACH).map(|_| pass_json(&shop, eye, "0.3", "just")["record"].clone()).collect::<Vec<Value>>()
    };
    let written = std::thread::scope(|scope| {
        let [one, other] = ["r", "l"].map(|eye| scope.spawn(move || record(eye)));
        [one.join().unwrap(), other.join().unwrap()].concat()
    });
    let mut seqs: Vec<u64> = written.iter().map(|id| id["seq"].as_u64().unwrap()).collect();
    seqs.sort_unstable();
    // The station's dial and the order came first.
    assert_eq!(seqs, (3..3 + 2 * EACH as u64).collect::<Vec<_>>());
    assert!(written.iter().all(|id| id["journal"] == written[0]["journal"]));
    let all = records(&shop);
    assert_eq!(all.len(), before + 2 * EACH);
    for eye in ["right: ", "left: "] {
        let passes = all.iter().filter(|line| line["says"].as_str().unwrap().starts_with(eye)).count();
        assert_eq!(passes, EACH, "{eye}");
    }
}

#[test]
fn a_closed_job_takes_no_bench_fact() {
    let shop = bench(&ABSOLUTE);
    done(&shop, ["job", "close", "1", "--despite", "a test"]);
    for args in [
        ["record", "pass", "1", "r", "0.3", "far"].as_slice(),
        &["record", "mark", "1", "r"],
        &["record", "reading", "1", "r", "--direct", "-1.25 DS"],
        &["record", "pd", "1", "62"],
        &["record", "check", "1", "finish"],
    ] {
        let output = shop.run(args);
        assert_eq!(output.status, Some(2), "{args:?}: {output:?}");
        assert!(output.stderr.contains("job 1 is closed (handed over)"), "{args:?}: {output:?}");
    }
    let noted = done(&shop, ["record", "note", "1", "pads", "missing", "--json"]).json();
    assert_eq!((&noted["text"], &noted["next"]), (&json!("pads missing"), &Value::Null));
    assert_eq!(records(&shop).len(), 3);
}

#[test]
fn a_slip_of_the_keys_is_named() {
    let shop = bench(&ABSOLUTE);
    let error = refused(&shop, ["record", "pass", "1", "x", "0.3", "far"], 2);
    assert!(error.contains("expected right or left"), "{error}");
    let error = refused(&shop, ["record", "pass", "1", "r", "0.3", "fitts"], 2);
    assert!(error.contains("'fits'"), "{error}");
    let error = refused(&shop, ["record", "check", "1", "strane", "r"], 2);
    assert!(error.contains("'strain'"), "{error}");
    let error = refused(&shop, ["record", "pass", "7", "r", "0.3", "far"], 3);
    assert!(error.contains("no job `7`; open jobs are 1"), "{error}");
    assert_eq!(records(&shop).len(), 1);
}
