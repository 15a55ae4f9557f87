//! The day on one screen.

use super::{GOOD, OUT, shop, work};
use crate::bench::done;
use bevelbook_tests::{Shop, usual_order};
use serde_json::{Value, json};

/// Another job that is due on a day, for a customer with a name.
fn open(shop: &Shop, due: &str, name: &str) {
    let reference = format!("K-{}", name.to_lowercase());
    let order = [
        ["--ed", "53"],
        ["--due", due],
        ["--customer", reference.as_str()],
        ["--name", name],
        ["--tray", name],
    ];
    done(shop, usual_order(&order));
}

fn day(shop: &Shop) -> String {
    let text = done(shop, ["day"]).stdout;
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines.len() <= 23, "{} lines: {text}", lines.len());
    assert!(lines.iter().all(|line| line.chars().count() <= 80), "{text}");
    text
}

/// The numbers of the jobs in a list of the day.
fn numbers(day: &Value, list: &str) -> Value {
    day[list].as_array().unwrap().iter().map(|job| job["job"].clone()).collect()
}

#[test]
fn an_ordinary_day_stands_on_one_screen_each_job_once() {
    let shop = shop();
    for (due, name) in
        [("2020-01-02", "Olive"), ("today", "Dora"), ("2099-01-01", "Wanda"), ("2099-01-02", "Ina")]
    {
        open(&shop, due, name);
    }
    done(&shop, ["record", "mark", "5", "right"]);
    for name in ["Rosa", "Otto", "Hanna"] {
        open(&shop, "2099-03-01", name);
    }
    work(&shop, "6", GOOD);
    work(&shop, "7", OUT);
    work(&shop, "8", GOOD);
    for number in ["6", "8"] {
        done(&shop, ["inspect", number, "--sign-off", "EM"]);
    }
    shop.run(["inspect", "7", "--sign-off", "EM", "--despite", "so"]);
    done(&shop, ["job", "close", "8"]);
    done(&shop, ["job", "remake", "5", "right", "--cause", "slipped", "--bearer", "shop"]);
    let json = done(&shop, ["day", "--json"]).json();
    for (list, jobs) in [
        ("overdue", json!([2])),
        ("due", json!([3])),
        ("waiting", json!([4, 5, 1])),
        ("in_work", json!([])),
        ("ready", json!([6, 7])),
        ("closed", json!([8])),
    ] {
        assert_eq!(numbers(&json, list), jobs, "{list}");
    }
    assert_eq!(json["spoiled"][0]["job"], 5);
    assert_eq!(json["spoiled"][0]["told"]["cause"], "slipped");
    let text = day(&shop);
    for said in [
        "7 open, 1 OUT",
        "overdue     J2  TOlive  Olive",
        "waiting for both lenses",
        "signed off OUT by EM",
        "J8 Hanna: handed over",
        "J5 right lens 1",
        "backup",
    ] {
        assert!(text.contains(said), "{said:?} is not said:\n{text}");
    }
    // Nothing of it happened on another day.
    let earlier = done(&shop, ["day", "--date", "2026-01-05", "--json"]).json();
    assert_eq!((&earlier["closed"], &earlier["spoiled"]), (&json!([]), &json!([])));
    assert_eq!(numbers(&earlier, "overdue"), json!([2]));
}

#[test]
fn a_long_list_is_cut_and_says_how_much_of_it() {
    let shop = shop();
    let like = ["job", "new", "--like", "1", "--customer", "K-9"];
    for due in ["2020-01-01", "2099-01-01"] {
        for _ in 0..20 {
            done(&shop, like.iter().chain(&["--due", due]));
        }
    }
    let text = day(&shop);
    assert!(text.contains("41 open"), "{text}");
    let more: Vec<usize> = text
        .lines()
        .filter_map(|line| line.split("and ").nth(1)?.strip_suffix(" more: bevelbook job list")?.parse().ok())
        .collect();
    let shown = text.lines().filter(|line| line.contains("waiting for both lenses")).count();
    assert_eq!((more.len(), more.iter().sum::<usize>() + shown), (2, 41), "{text}");
}

#[test]
fn a_day_without_anything_says_so() {
    let shop = shop();
    done(&shop, ["job", "close", "1", "--how", "cancelled", "--despite", "so"]);
    let text = day(&shop);
    assert!(text.contains("no job is open") && text.contains("J1 K-17: cancelled, not done"), "{text}");
}

#[test]
fn the_keypads_and_their_walk_ins_are_told_as_the_book_knows_them() {
    let shop = shop();
    done(&shop, ["keypad", "adopt", "00000000000b0a4d", "--name", "edger", "--yes"]);
    assert!(day(&shop).contains("edger: no record yet"), "{}", day(&shop));
}

#[test]
fn a_day_without_its_year_is_the_nearest() {
    let shop = shop();
    let json = done(&shop, ["day", "--json"]).json();
    let today: jiff::civil::Date = json["date"].as_str().unwrap().parse().unwrap();
    for days in [-1, 0, 1] {
        let meant = today.checked_add(jiff::Span::new().days(days)).unwrap();
        let typed = meant.strftime("%-d.%-m.").to_string();
        let json = done(&shop, ["day", "--date", &typed, "--json"]).json();
        assert_eq!(json["date"], meant.to_string(), "{typed}");
    }
}
