//! What is asked, what is said of an answer, and what comes of it.

use super::*;
use crate::desk::{Order, sample};
use crate::settings::Settings;
use crate::work::Work;
use bevelbook_core::units::Length;
use tempfile::TempDir;

/// What was understood, if it was to be saved, and all that was said.
fn answered(before: &Before, lines: &[&str]) -> (Option<Order>, String) {
    let mut said = Vec::new();
    let input = lines.iter().map(|line| format!("{line}\n")).collect::<String>();
    let order = Steps::new(before, input.as_bytes(), &mut said).run().unwrap();
    (order.map(|(order, _)| order.new.order), String::from_utf8(said).unwrap())
}

fn nothing_before() -> Before {
    Before { settings: Settings::defaults().unwrap(), work: None }
}

/// A book with the sample's frame in job 1, of which only the sizes are changed here.
fn book(models: &[(i32, i32)]) -> (TempDir, Before) {
    let folder = tempfile::tempdir().unwrap();
    let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
    for (a, ed) in models {
        let mut order = sample();
        order.frame.size.a = Length::from_milli(*a);
        order.frame.size.ed = Some(Length::from_milli(*ed));
        work.open_job(order, Some("Ada Invented")).unwrap();
    }
    (folder, Before { settings: Settings::defaults().unwrap(), work: Some(work) })
}

const SINGLE: [&str; 14] = [
    "K-17",
    "",
    "-1.25 -0.75 x 15",
    "-1.50 -0.50 x 170",
    "31.5/31",
    "Lindgren 7",
    "50 38 18 53",
    "metal",
    "CR39",
    "HC, AR",
    "28.11.2056",
    "4",
    "",
    "yes",
];

#[test]
fn fourteen_answers_make_an_order_of_single_vision() {
    let (order, said) = answered(&nothing_before(), &SINGLE);
    let order = order.unwrap();
    assert_eq!((order.customer.as_str(), order.tray.as_deref()), ("K-17", Some("4")));
    assert_eq!(order.right.to_string(), "-1.25 -0.75 x 15");
    assert_eq!((order.frame.size, order.lens.material.as_str()), (sample().frame.size, "cr39"));
    assert_eq!(order.lens.treatments, ["HC", "AR"]);
    assert_eq!(order.due, Some(jiff::civil::date(2056, 11, 28)));
    for words in ["boxed sizes  A 50  B 38  DBL 18  ED 53 mm", "decentration  2.5 in", "+ boxed centre"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(!said.contains("kind of lens") && !said.contains("heights above"), "{said}");
    // Where prompts stand in one line, nobody echoed the answers.
    let whole = said.lines().filter(|line| !line.contains("like K-17"));
    assert!(whole.into_iter().all(|line| line.chars().count() <= COLUMNS), "{said}");
}

#[test]
fn an_add_asks_for_the_lens_and_its_heights() {
    let mut lines = SINGLE.map(str::to_owned).to_vec();
    lines[2] += " add 2";
    lines[3] += " add 2";
    lines.splice(8..8, ["bifocal", "flat top 28", "29/28.5", "16"].map(str::to_owned));
    let lines: Vec<&str> = lines.iter().map(String::as_str).collect();
    let (order, said) = answered(&nothing_before(), &lines);
    let order = order.unwrap();
    assert_eq!(order.lens.segment.map(|segment| segment.to_string()).as_deref(), Some("flat top 28"));
    assert_eq!(order.heights, Some([Length::from_milli(16_000); 2]));
    assert!(said.contains("= top of the segment"), "{said}");
}

#[test]
fn a_wrong_answer_is_refused_where_it_stands_and_asked_again() {
    for (at, wrong, right_form) in [
        (0, "", "an answer is needed here, like K-17"),
        (2, "-1.25 0.75 x 15", "write it like: -1.25 -0.75 x 15"),
        (2, "-0.50 x 170", "write one of the two: pl -0.50 x 170, or -0.50 DS"),
        (2, "-35.00", "right sphere: -35.00 D is beyond"),
        (3, "-1.50 -0.50 x 170 R", "the left eye, for which this is given, not the right"),
        (4, "3.15/31", "write it like: 31.5/30"),
        (6, "50 38", "expected 3 to 4 figures"),
        (6, "5 38 18", "A: 5 mm is not from 25 to 75 mm; for example 50"),
        (6, "50 38 18 70", "ED: 70 mm is not from 50"),
        (7, "full rim", "metal or plastic"),
        (8, "1.9", "no material `1.9`"),
        (10, "30.2.2026", "2026-11-28, 28.11.2026, 28/11 or fri"),
        (12, "heigths 18", "did you mean `heights`?"),
        (12, "tilt steep", "tilt: expected an angle from 0 to 40 degrees"),
        (12, "segment round 22", "segment: a single vision lens has none"),
        (12, "prescribed 1.1.2099", "prescription date: 2099-01-01 is yet to come"),
    ] {
        let mut lines = SINGLE.to_vec();
        lines.insert(at, wrong);
        let (order, said) = answered(&nothing_before(), &lines);
        assert!(said.contains(right_form), "{wrong}: {said}");
        assert_eq!(order.map(|order| order.right), Some(sample().right), "{wrong}: {said}");
    }
}

#[test]
fn a_minus_goes_back_and_offers_what_was_answered() {
    let lines = [
        "K-17",
        "-",
        "K-18",
        "",
        "-1.25 -0.75 x 15",
        "-1.50 -0.50 x 170",
        "31/31",
        "-",
        "back",
        "",
        "31.5/31",
    ];
    let lines: Vec<&str> = lines.into_iter().chain(SINGLE.into_iter().skip(5)).collect();
    let (order, said) = answered(&nothing_before(), &lines);
    let order = order.unwrap();
    assert_eq!((order.customer.as_str(), order.far_pd.to_string().as_str()), ("K-18", "31.5/31"));
    assert!(said.contains("like K-17 [K-17]: ") && said.contains("170 [-1.50 -0.50 x 170]: "), "{said}");
    // From the end as well.
    let back = ["-", "tilt 9", "", "yes"];
    let lines: Vec<&str> = SINGLE.into_iter().take(13).chain(back).collect();
    assert!(answered(&nothing_before(), &lines).0.unwrap().frame.tilt.is_some());
}

#[test]
fn the_end_of_the_input_and_a_no_save_nothing() {
    for many in 0..SINGLE.len() {
        assert!(answered(&nothing_before(), &SINGLE[..many]).0.is_none(), "{many}");
    }
    let no: Vec<&str> = SINGLE.into_iter().take(13).chain(["perhaps", "no"]).collect();
    assert!(answered(&nothing_before(), &no).0.is_none());
}

#[test]
fn a_customer_and_a_frame_that_are_known_offer_what_is_known_of_them() {
    let (_folder, before) = book(&[(50_000, 53_000)]);
    let lines = [
        "K-17",
        "",
        "-1.25 -0.75 x 15",
        "-1.50 -0.50 x 170",
        "31.5/31",
        "lindgren 7",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
        "",
    ];
    let (order, said) = answered(&before, &lines);
    let order = order.unwrap();
    assert_eq!((order.frame.size, order.frame.rim), (sample().frame.size, sample().frame.rim));
    assert_eq!((order.frame.material.as_str(), order.lens.material.as_str()), ("steel", "cr39"));
    for words in [
        "K-17 had job 1: -1.25 -0.75 x 15; -1.50 -0.50 x 170; PD 31.5/31",
        "[Ada Invented]: ",
        "lindgren 7 is known as 50□18 (job 1)",
        "[50 38 18 53]: ",
        "[metal]: ",
        "frame as in job 1: of steel",
        "[cr39]: ",
    ] {
        assert!(said.contains(words), "{words}: {said}");
    }
}

#[test]
fn of_several_sizes_the_width_says_which() {
    let (_folder, before) = book(&[(50_000, 53_000), (52_000, 55_000)]);
    let mut lines = SINGLE.to_vec();
    lines[6] = "50";
    let (order, said) = answered(&before, &lines);
    assert_eq!(order.unwrap().frame.size, sample().frame.size);
    assert!(
        said.contains("known as 52□18 (job 2), 50□18 (job 1)") && said.contains("[52 38 18 55]: "),
        "{said}"
    );
}

#[cfg(unix)]
#[test]
fn who_may_not_set_names_is_not_asked_for_one() {
    let Some(server) = bevelbook_server::Server::shared() else { return };
    let database = server.database();
    let [owner, bench] = ["postgres", "asked_at_a_bench"]
        .map(|role| crate::store::Place::named(database.url_as(role).into()).unwrap());
    crate::store::Book::begin(&owner).unwrap();
    database.sql("CREATE ROLE asked_at_a_bench LOGIN");
    crate::store::Book::give_rights(&owner, "asked_at_a_bench", Some(crate::store::Duty::Bench)).unwrap();
    let settings = || Settings::defaults().unwrap();
    let before = Before { settings: settings(), work: Some(Work::look(&bench, settings()).unwrap()) };
    let nameless: Vec<&str> =
        SINGLE.iter().enumerate().filter(|(at, _)| *at != 1).map(|(_, line)| *line).collect();
    let (order, said) = answered(&before, &nameless);
    assert_eq!(order.unwrap().customer, "K-17");
    assert!(!said.contains("customer's name"), "{said}");
    let (_, said) = answered(&before, &[&nameless[..11], &["name Ann Example", "", "yes"]].concat());
    assert!(said.contains("role asked_at_a_bench may not"), "{said}");
}

#[test]
fn what_was_answered_is_one_command_that_opens_the_same_order() {
    let before = nothing_before();
    let mut lines = SINGLE.map(|line| format!("{line}\n"));
    lines[1] = "Ann \"Nan\" O'Example\n".into();
    let (order, command) = Steps::new(&before, lines.concat().as_bytes(), Vec::new()).run().unwrap().unwrap();
    assert_eq!(
        command,
        "bevelbook job new --customer=K-17 --name='Ann \"Nan\" O'\\''Example' --right=\"-1.25 -0.75 x 15\" --left=\"-1.50 \
         -0.50 x 170\" --pd=31.5/31 --frame=\"Lindgren 7\" --a=50 --b=38 --dbl=18 --ed=53 --rim=metal --material=CR39 \
         --treatment=\"HC, AR\" --due=28.11.2056 --tray=4"
    );
    let said = with_answers(Failure::Fault("the server is away".into()), &command).text().to_owned();
    assert_eq!(said, format!("the server is away\nwhat was answered, as one command:\n  {command}"));
    assert_eq!(order.new.order.customer, "K-17");
}
