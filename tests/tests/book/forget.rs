//! `book forget`, as a person uses it.

use super::{customers, done};
use bevelbook_tests::{Shop, usual_order};
use std::path::Path;

/// Whether any file below a folder holds a text.
fn holds(folder: &Path, text: &str) -> bool {
    std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).any(|file| {
        if file.is_dir() {
            return holds(&file, text);
        }
        std::fs::read(file).unwrap().windows(text.len()).any(|bytes| bytes == text.as_bytes())
    })
}

#[test]
fn a_name_leaves_every_file_of_the_book_and_the_job_stays() {
    let shop = Shop::new();
    done(&shop, usual_order(&[["--customer", "K-1"], ["--name", "Ottoline Quillfeather"]]));
    done(&shop, ["book", "backup"]);
    done(&shop, usual_order(&[["--customer", "K-2"], ["--name", "Barnaby Thistlewood"]]));
    let unasked = shop.run(["book", "forget", "K-1"]);
    assert_eq!(unasked.status, Some(2), "{unasked:?}");
    assert!(
        unasked.stderr.contains("Ottoline Quillfeather") && unasked.stderr.contains("--yes"),
        "{unasked:?}"
    );
    assert!(holds(shop.folder(), "Quillfeather"));
    let told = done(&shop, ["book", "forget", "K-1", "--yes"]);
    assert!(told.stdout.contains("rewritten without it") && told.stderr.contains("sheets"), "{told:?}");
    assert!(!holds(shop.folder(), "Quillfeather") && holds(shop.folder(), "Thistlewood"));
    assert_eq!(customers(&shop), ["K-1", "K-2"]);
    assert_eq!(shop.run(["book", "forget", "K-1", "--yes"]).status, Some(3), "there is none any more");
}
