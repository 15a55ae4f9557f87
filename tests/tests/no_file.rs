//! Pipes and devices where a file is expected: each is refused at once and left as it is. And what a sheet leaves.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, reason = "all of this is called by tests alone")]

use bevelbook_tests::{Output, Shop, usual_order};
use std::fs;
use std::os::unix::fs::{FileTypeExt, PermissionsExt};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// How long a command may take on a busy machine before it counts as hung.
const PATIENCE: Duration = Duration::from_secs(20);

fn shop() -> Shop {
    let shop = Shop::new();
    assert_eq!(shop.run(usual_order(&[])).status, Some(0));
    assert!(Command::new("mkfifo").arg(shop.folder().join("pipe")).status().unwrap().success());
    shop
}

fn is_pipe(shop: &Shop) -> bool {
    fs::metadata(shop.folder().join("pipe")).unwrap().file_type().is_fifo()
}

/// Runs a command that must not wait for anybody.
fn run(shop: &Shop, args: &[&str]) -> Output {
    let mut command = shop.command();
    let mut child = command.args(args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > PATIENCE {
            child.kill().unwrap();
            panic!("{args:?} hangs");
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let ended = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Output { status: ended.status.code(), stdout: text(ended.stdout), stderr: text(ended.stderr) }
}

#[test]
fn a_pipe_or_a_device_is_no_book_settings_trace_memory_or_sheet() {
    let shop = shop();
    fs::write(shop.folder().join("table.toml"), "tolerance.shop_table = \"pipe\"").unwrap();
    let new = usual_order(&[["--trace", "pipe"]]);
    let new: Vec<&str> = new.iter().map(String::as_str).collect();
    for other in ["pipe", "/dev/zero"] {
        for args in [
            &["job", "list", "--book", other][..],
            &["record", "note", "1", "x", "--book", other],
            &["book", "check", "--book", other],
            &["book", "backup", other],
            &["settings", "show", "--settings", other],
            &["settings", "show", "--settings", "table.toml"],
            &new,
            &["job", "amend", "1", "--why", "x", "--trace", other],
            &["keypad", "software", "--memory", other],
            &["bench", "--port", "software", "--memory", other],
            &["sheet", "1", "--out", other],
            &["sheet", "1", "--out", other, "--force"],
        ] {
            let refused = run(&shop, args);
            assert!(matches!(refused.status, Some(2..=4)), "{args:?}: {refused:?}");
            assert!(refused.stderr.contains("not a file"), "{args:?}: {refused:?}");
            assert!(is_pipe(&shop), "{args:?}");
        }
    }
    let port = run(&shop, &["bench", "--port", "pipe"]);
    assert!(port.stderr.contains("cannot be used as a serial port"), "{port:?}");
    assert!(!Path::new("/dev/zero").metadata().unwrap().is_file());
}

#[test]
fn a_sheet_is_its_owners_only_and_a_part_that_was_left_is_written_over() {
    let shop = shop();
    let (sheet, part) = (shop.folder().join("job-1.html"), shop.folder().join(".job-1.html.part"));
    let mode = || fs::metadata(&sheet).unwrap().permissions().mode() & 0o777;
    fs::write(&part, "half of a").unwrap();
    assert_eq!(shop.run(["sheet", "1"]).status, Some(0));
    assert_eq!((mode(), part.exists()), (0o600, false));
    fs::set_permissions(&sheet, fs::Permissions::from_mode(0o644)).unwrap();
    assert_eq!(shop.run(["sheet", "1", "--with-name"]).status, Some(0));
    assert_eq!(mode(), 0o600);
}

#[test]
fn a_sheet_that_is_killed_or_written_twice_at_once_is_whole() {
    let shop = shop();
    let sheet = shop.folder().join("job-1.html");
    for round in 0..40_u64 {
        let mut writers: Vec<_> = (0..2)
            .map(|_| shop.command().args(["sheet", "1"]).stdout(Stdio::null()).spawn().unwrap())
            .collect();
        if round % 2 == 0 {
            std::thread::sleep(Duration::from_millis(round));
            writers[0].kill().unwrap();
        }
        let ended: Vec<_> = writers.iter_mut().map(|writer| writer.wait().unwrap()).collect();
        assert!(ended[1].success() && (round % 2 == 0 || ended[0].success()), "{ended:?}");
        let text = fs::read_to_string(&sheet).unwrap();
        assert!(text.starts_with("<!DOCTYPE html>") && text.ends_with("</html>\n"), "{text}");
    }
    assert_eq!(shop.run(["sheet", "1"]).status, Some(0));
    let left = fs::read_dir(shop.folder()).unwrap().map(|file| file.unwrap().file_name());
    let left: Vec<_> = left.filter(|name| name.to_string_lossy().contains("part")).collect();
    assert!(left.is_empty(), "{left:?}");
}
