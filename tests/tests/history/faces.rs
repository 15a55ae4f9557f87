//! The table, the CSV, the plot, and what is asked beside them.

use crate::draw::drawn;
use crate::truth::Drawn;
use crate::{Chance, history};
use bevelbook_tests::{Output, Shop, usual_order};

fn run(drawn: &Drawn, args: &[&str]) -> Output {
    let ended = drawn.command().args(args).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }
}

#[test]
fn an_empty_book_has_no_rows_and_says_so_beside_them() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    let output = shop.run(["history", "--json"]);
    assert_eq!((output.status, output.stdout.as_str()), (Some(0), "[]\n"), "{output:?}");
    assert!(output.stderr.contains("nothing was finished, fitted or spoiled"), "{output:?}");
    assert_eq!(shop.run(["history"]).stdout, "");
    assert_eq!(shop.run(["history", "--csv"]).stdout.lines().count(), 1);
}

#[test]
fn a_table_is_no_wider_than_a_terminal() {
    let drawn = drawn(&mut Chance(7), 60);
    for by in ["day", "month", "frame", "material", "cause", "total"] {
        let shown = run(&drawn, &["history", by]).stdout;
        let wide = shown.lines().filter(|line| line.chars().count() > 80);
        assert_eq!(wide.collect::<Vec<_>>(), Vec::<&str>::new(), "{by}");
        assert!(shown.lines().count() <= 23, "{by}: {shown}");
        assert!(shown.contains("\ntotal "), "{by}: {shown}");
    }
    let all = run(&drawn, &["history", "day", "--all"]).stdout;
    let days = history(&drawn, &["day"]).len();
    assert!(all.lines().count() > days && days > 20, "{all}");
}

/// The cells of a CSV by RFC 4180.
fn cells(csv: &str) -> Vec<Vec<String>> {
    let line = |line: &str| {
        let (mut cells, mut quoted) = (vec![String::new()], false);
        let mut letters = line.chars().peekable();
        while let Some(letter) = letters.next() {
            let cell = cells.last_mut().unwrap();
            match letter {
                '"' if quoted && letters.next_if_eq(&'"').is_some() => cell.push('"'),
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                letter => cell.push(letter),
            }
        }
        cells
    };
    csv.split_terminator("\r\n").map(line).collect()
}

#[test]
fn a_spreadsheet_gets_the_same_figures_and_no_formula() {
    let drawn = drawn(&mut Chance(8), 60);
    let csv = cells(&run(&drawn, &["history", "frame", "--csv"]).stdout);
    let rows = history(&drawn, &["frame"]);
    assert_eq!(csv.len(), rows.len() + 1);
    for (cells, row) in csv[1..].iter().zip(&rows) {
        for (name, cell) in csv[0].iter().zip(cells) {
            let value = &row[name];
            let same = match value.as_f64() {
                Some(number) => cell.parse() == Ok(number),
                None => cell.trim_start_matches('\'') == value.as_str().unwrap_or_default(),
            };
            assert!(same, "{name}: {cell} is not {value}");
        }
        assert_eq!(csv[0].len(), row.as_object().unwrap().len());
        assert!(!cells[0].starts_with('='), "{cells:?}");
    }
    assert!(csv.iter().any(|cells| cells[0] == "'=Sum(1)"), "{csv:?}");
}

#[test]
fn a_plot_takes_the_place_of_an_earlier_plot_alone() {
    let drawn = drawn(&mut Chance(9), 20);
    let written = |args: &[&str]| run(&drawn, &[&["history", "--svg"], args].concat());
    for _ in 0..2 {
        let output = written(&["plot.svg"]);
        assert!(output.status == Some(0) && output.stderr.contains("drawn: plot.svg"), "{output:?}");
    }
    let other = drawn.shop.folder().join("other.svg");
    std::fs::write(&other, "<svg/>").unwrap();
    let output = written(&["other.svg"]);
    assert!(output.status == Some(2) && output.stderr.contains("not an earlier plot"), "{output:?}");
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "<svg/>");
    assert_eq!(written(&["other.svg", "--force"]).status, Some(0));
    assert!(std::fs::read_to_string(&other).unwrap().contains("<title"));
}

#[test]
fn whatever_cause_nobody_told_is_asked_with_the_command_that_tells_it() {
    let drawn = drawn(&mut Chance(10), 20);
    let not_told = |drawn: &Drawn| {
        let rows = history(drawn, &["total"]);
        rows[0]["spoiled_not_told"].as_u64().unwrap()
    };
    let before = not_told(&drawn);
    assert!(before > 5, "{before}");
    let asked = run(&drawn, &["history", "cause"]).stderr;
    let commands = asked
        .lines()
        .filter_map(|line| line.split_once("not told").and_then(|(_, line)| line.split_once(": bevelbook ")));
    let commands = commands.map(|(_, command)| command);
    let commands: Vec<&str> = commands.collect();
    assert_eq!(commands.len(), 5, "{asked}");
    for command in commands {
        let typed = command.replace("CAUSE", "damaged").replace("WHO", "supplier");
        let told = run(&drawn, &typed.split(' ').collect::<Vec<_>>());
        assert_eq!(told.status, Some(0), "{typed}: {told:?}");
    }
    assert_eq!(not_told(&drawn), before - 5);
}

#[test]
fn a_lens_that_went_past_its_fit_is_asked_about_wherever_it_shows() {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    let run = |command: &str| shop.run(command.split(' '));
    run("station dial --basis diameter --absolute --step 0.05");
    for command in
        ["record pass 1 r 0.3 loose", "day", "history", "history cause", "job close 1 --despite cancelled"]
    {
        let asked = run(command).stderr;
        assert!(
            asked.contains("bevelbook job remake 1 right --cause undersize --charged-to shop"),
            "{command}: {asked}"
        );
    }
    let told = run("job remake 1 right --cause undersize --charged-to shop");
    assert_eq!(told.status, Some(0), "{told:?}");
    for command in ["day", "history cause"] {
        let asked = run(command).stderr;
        assert!(!asked.contains("not told"), "{command}: {asked}");
    }
}

#[test]
fn days_are_typed_as_people_write_them_and_the_earlier_comes_first() {
    let drawn = drawn(&mut Chance(11), 20);
    let same = [
        ["history", "total", "--json", "--since", "2026-01-29"],
        ["history", "total", "--json", "--since", "29.1.2026"],
    ];
    let [one, other] = same.map(|args| run(&drawn, &args));
    assert!(one.status == Some(0) && one.stdout == other.stdout, "{one:?} {other:?}");
    let output = run(&drawn, &["history", "--since", "2026-02-01", "--until", "2026-01-31"]);
    assert!(output.status == Some(2) && output.stderr.contains("later than --until"), "{output:?}");
}
