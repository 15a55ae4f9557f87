//! `sheet` as a person runs it: where the file goes, and what it never does to other files.
#![allow(clippy::unwrap_used, reason = "all of this is called by tests alone")]

use bevelbook_tests::{Output, Shop, bevelbook, usual_order};
use std::fs;

/// A shop with one job in its book.
fn shop() -> Shop {
    let shop = Shop::new();
    let opened = shop.run(usual_order(&[["--name", "Ada Invented"], ["--left", "-1.50"], ["--ed", "53"]]));
    assert_eq!(opened.status, Some(0), "{opened:?}");
    shop
}

fn files(shop: &Shop) -> Vec<String> {
    let names =
        fs::read_dir(shop.folder()).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap());
    let mut names: Vec<String> =
        names.filter(|name| !name.starts_with("book") && name != "backups").collect();
    names.sort();
    names
}

fn refused(output: &Output, status: i32, about: &str) {
    assert_eq!((output.status, output.stdout.as_str()), (Some(status), ""), "{output:?}");
    assert!(output.stderr.contains(about), "{output:?}");
}

#[test]
fn the_sheet_goes_into_the_folder_that_one_works_in() {
    let shop = shop();
    let written = shop.run(["sheet", "1"]);
    assert_eq!((written.status, written.stdout.as_str()), (Some(0), "job-1.html\n"), "{written:?}");
    assert_eq!(files(&shop), ["job-1.html"], "no part is left beside it");
    let sheet = fs::read_to_string(shop.folder().join("job-1.html")).unwrap();
    assert!(sheet.starts_with("<!DOCTYPE html>") && sheet.ends_with("</html>\n"));
    assert!(sheet.contains("K-17") && !sheet.contains("Ada Invented"));
}

#[test]
fn a_path_is_taken_and_the_answer_for_programs_names_it() {
    let shop = shop();
    let written = shop.run(["sheet", "K-17", "--out", "paper.html", "--with-name", "--json"]);
    assert_eq!(written.status, Some(0), "{written:?}");
    assert_eq!(written.json(), serde_json::json!({ "path": "paper.html", "job": 1 }));
    assert!(fs::read_to_string(shop.folder().join("paper.html")).unwrap().contains("Ada Invented"));
}

#[test]
fn the_standard_output_takes_the_sheet_too() {
    let shop = shop();
    let written = shop.run(["sheet", "1", "--out", "-"]);
    assert_eq!(written.status, Some(0), "{written:?}");
    assert!(written.stdout.starts_with("<!DOCTYPE html>"), "{written:?}");
    assert!(files(&shop).is_empty(), "{:?}", files(&shop));
    let json = shop.run(["sheet", "1", "--out", "-", "--json"]).json();
    assert!(json["path"].is_null());
    assert!(json["html"].as_str().unwrap().starts_with("<!DOCTYPE html>"));
}

#[test]
fn an_earlier_sheet_is_replaced_and_no_other_file() {
    let shop = shop();
    let path = shop.folder().join("job-1.html");
    shop.run(["sheet", "1"]);
    shop.run(["record", "note", "1", "called the customer"]);
    assert_eq!(shop.run(["sheet", "1"]).status, Some(0));
    assert!(fs::read_to_string(&path).unwrap().contains("called the customer"));

    for other in ["my own page", "<!DOCTYPE html><html><head><title>another</title></head></html>", ""] {
        fs::write(&path, other).unwrap();
        refused(&shop.run(["sheet", "1"]), 2, "not an earlier sheet");
        assert_eq!(fs::read_to_string(&path).unwrap(), other);
    }
    assert_eq!(shop.run(["sheet", "1", "--force"]).status, Some(0));
    assert!(fs::read_to_string(&path).unwrap().contains("bevelbook sheet"));
    assert_eq!(files(&shop), ["job-1.html"]);
}

#[test]
fn what_cannot_be_written_is_said_with_its_place() {
    let shop = shop();
    fs::create_dir(shop.folder().join("prints")).unwrap();
    refused(&shop.run(["sheet", "1", "--out", "prints"]), 2, "prints is a folder");
    refused(&shop.run(["sheet", "1", "--out", "nowhere/a.html"]), 4, "nowhere/a.html cannot be written");
    assert_eq!(files(&shop), ["prints"]);
}

#[test]
fn a_job_that_is_not_there_has_no_sheet() {
    let shop = shop();
    refused(&shop.run(["sheet", "7"]), 3, "no job `7`");
    refused(&bevelbook(["sheet", "1"]), 3, "no book at");
    refused(&shop.run(["sheet"]), 2, "JOB");
    assert!(files(&shop).is_empty(), "{:?}", files(&shop));
}

#[test]
fn a_pair_that_is_out_says_so_to_who_wears_it_and_why_it_was_handed_over() {
    let shop = shop();
    for (eye, read) in [("right", "-1.25 -0.75 x 35"), ("left", "-1.50")] {
        shop.run(["record", "pass", "1", eye, "0.2", "fits"]);
        let read =
            shop.run(["record", "reading", "1", eye, "--direct", read, "--centred", "--stage", "mounted"]);
        assert_eq!(read.status, Some(0), "{read:?}");
    }
    shop.run(["record", "pd", "1", "31.5/31"]);
    shop.run(["inspect", "1", "--sign-off", "NB", "--despite", "needs them for the journey"]);
    let written = shop.run(["sheet", "1", "--for", "wearer"]);
    assert_eq!((written.status, written.stdout.as_str()), (Some(0), "job-1-wearer.html\n"), "{written:?}");
    let page = fs::read_to_string(shop.folder().join("job-1-wearer.html")).unwrap();
    for words in [
        "These glasses are OUT of tolerance",
        "ordered 15°, found 35°",
        "<b>OUT",
        "needs them for the journey",
        "Signed by",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(!page.contains("Ada Invented"));
    let named = shop.run(["sheet", "1", "--for", "wearer", "--with-name", "--out", "-"]).stdout;
    assert!(named.contains("or that their maker vouches for them"), "{named}");
    assert!(named.contains("Ada Invented"));
}

#[test]
fn what_a_scanner_reads_off_a_sheet_names_its_job_whatever_else_is_called_so() {
    let shop = shop();
    let opened = shop.run(usual_order(&[["--ed", "53"], ["--tray", "1"], ["--customer", "1"]]));
    assert_eq!(opened.status, Some(0), "{opened:?}");
    let page = shop.run(["sheet", "2", "--out", "-"]).stdout;
    let code = page.split("<figcaption>").nth(1).unwrap().split('<').next().unwrap();
    for scanned in [code.to_owned(), code.to_lowercase()] {
        let found = shop.run(["plan", &scanned, "--json"]);
        assert_eq!((found.status, &found.json()["job"]), (Some(0), &2.into()), "{scanned}");
    }
}
