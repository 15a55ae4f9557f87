//! `book export` and `book import`, as a person uses them.

use super::{customers, done, open_job};
use bevelbook_tests::Shop;

#[test]
fn a_book_goes_to_another_shop_and_comes_together_with_what_is_there() {
    let (here, there) = (Shop::new(), Shop::new());
    open_job(&here, "K-1");
    done(&here, ["record", "mark", "1", "right"]);
    let file = here.folder().join("book.jsonl");
    done(&here, ["book", "export", "book.jsonl"]);
    assert_eq!(done(&here, ["book", "export", "-"]).stdout, std::fs::read_to_string(&file).unwrap());
    open_job(&there, "K-2");
    let imported = done(&there, ["book", "import", file.to_str().unwrap(), "--json"]).json();
    assert!(imported["records"].as_u64().unwrap() >= 2, "{imported}");
    let mut names = customers(&there);
    names.sort();
    assert_eq!(names, ["K-1", "K-2"]);
    // Each book had given the number 1.
    for typed in [
        &["job", "show", "1"][..],
        &["job", "show", "J1"],
        &["record", "pass", "#1", "right", "0.40", "much"],
    ] {
        let told = there.run(typed);
        let is_told = ["K-1", "K-2", "more than one job"].iter().all(|said| told.stderr.contains(said));
        assert!(told.status == Some(2) && is_told, "{told:?}");
    }
    let told = there.run(["job", "show", "1"]).stderr;
    let (code, _) = told.split_once(" (K-1").unwrap();
    let code = code.rsplit(' ').next().unwrap();
    assert_eq!(done(&there, ["job", "show", code, "--json"]).json()["reference"], "K-1");
    let again = done(&there, ["book", "import", file.to_str().unwrap(), "--json"]).json();
    assert_eq!(again["records"], 0);
    assert_eq!(done(&there, ["book", "check", "--json"]).json()["sound"], true);
    let fresh = Shop::new();
    done(&fresh, ["book", "import", file.to_str().unwrap()]);
    assert_eq!(customers(&fresh), ["K-1"]);
}

#[test]
fn what_is_no_export_is_refused_by_its_line() {
    let shop = Shop::new();
    std::fs::write(shop.folder().join("letter"), "{\"line\":\"bevelbook\",\"version\":1}\nDear Ottoline\n")
        .unwrap();
    let refused = shop.run(["book", "import", "letter"]);
    assert_eq!(refused.status, Some(2), "{refused:?}");
    assert!(
        refused.stderr.contains("letter: line 2") && refused.stderr.contains("nothing was imported"),
        "{refused:?}"
    );
    assert_eq!(shop.run(["book", "import", "none.jsonl"]).status, Some(3));
}
