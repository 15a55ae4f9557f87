//! A book on a server that is away: what typed commands say, and what the bench does on plain lines.
#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a shop that fails fails the test"
)]

mod still;

use bevelbook_server::{Fault, Proxy, Seen, Server, Way};
use bevelbook_tests::{Output, Shop, usual_order};
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread;
use std::time::{Duration, Instant};

/// How long anything may take on a busy machine.
const PATIENCE: Duration = Duration::from_secs(30);

/// What a fault of the port, the disk or the data ends with.
const FAULT: Option<i32> = Some(4);

fn on<S: AsRef<str>>(book: &str, args: &[S]) -> Vec<String> {
    ["--book", book].into_iter().chain(args.iter().map(AsRef::as_ref)).map(str::to_owned).collect()
}

fn done<S: AsRef<str>>(shop: &Shop, book: &str, args: &[S]) -> Output {
    let args = on(book, args);
    let output = shop.run(&args);
    assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
    output
}

/// A shop with job 1 and the dial stated, its book on a server.
fn begun(book: &str) -> Shop {
    let shop = Shop::new();
    done(&shop, book, &["book", "begin"]);
    done(&shop, book, &usual_order(&[]));
    done(&shop, book, &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
    shop
}

/// An order in a file.
const ORDER: &str = "\
customer = \"K-2\"
right = \"-1.25 -0.75 x 15\"
left = \"-1.50 -0.50 x 170\"
pd = [31.5, 31]
frame = \"Lindgren 7\"
a = 50
b = 38
dbl = 18
ed = 53
rim = \"metal\"
material = \"cr39\"
";

/// Every command that puts something down.
const WRITING: [&[&str]; 24] = [
    &["job", "amend", "1", "--tray", "9", "--why", "it moved"],
    &["job", "close", "1", "--despite", "no time"],
    &["job", "remake", "1", "left", "--cause", "slipped", "--charged-to", "shop"],
    &["job", "reopen", "1", "--for", "adjustment", "--why", "bent"],
    &["job", "arrive", "1", "left"],
    &["job", "attach", "3fa9", "1"],
    &["job", "new", "--from", "orders.toml"],
    &["record", "pass", "1", "right", "0.60", "much"],
    &["record", "reading", "1", "right", "--direct", "-1.25 -0.75 x 15"],
    &["record", "mark", "1", "right"],
    &["record", "pd", "1", "31.5/31"],
    &["record", "made", "1", "right", "--centre", "2.0"],
    &["record", "girth", "1", "right", "150.0"],
    &["record", "check", "1", "finish"],
    &["record", "note", "1", "nose pads were missing"],
    &["record", "void", "51c3a0:12"],
    &["inspect", "1", "--sign-off", "EM", "--despite", "asked for so"],
    &["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.10"],
    &["station", "new-wheel"],
    &["keypad", "add", "00000000000000aa", "--name", "drum"],
    &["book", "conflicts", "settle", "51c3a0:12", "--keep", "book"],
    &["book", "check", "--renew"],
    &["book", "forget", "K-17"],
    &["book", "import", "export.jsonl"],
];

#[test]
fn while_the_server_is_away_each_command_says_that_nothing_was_recorded() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let book = database.url();
    let shop = begun(&book);
    done(&shop, &book, &["book", "export", "export.jsonl"]);
    std::fs::write(shop.folder().join("orders.toml"), ORDER).unwrap();
    server.kill9();
    let commands = WRITING.iter().map(|args| on(&book, args)).chain([on(&book, &usual_order(&[]))]);
    for args in commands {
        let output = shop.run(&args);
        assert_eq!((output.status, output.stdout.as_str()), (FAULT, ""), "{args:?}: {output:?}");
        assert!(output.stderr.contains("is away ("), "{args:?}: {output:?}");
        assert!(
            output.stderr.contains("nothing was recorded. Try again when it is back"),
            "{args:?}: {output:?}"
        );
    }
    server.restart();
    let records = done(&shop, &book, &["job", "show", "1", "--json"]).json()["records"].clone();
    assert_eq!(records.as_array().unwrap().len(), 1, "{records}");
}

#[test]
fn what_was_recorded_and_could_not_be_shown_is_not_said_to_be_lost() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let shop = begun(&database.url());
    let proxy = Proxy::before(&server);
    let book = proxy.url(database.name());
    let arrives = ["job", "arrive", "1", "left", "--what", "base 6"];
    // The messages of one command, and which of them commits.
    let asks = || {
        let _ = proxy.seen();
        done(&shop, &book, &arrives);
        let seen: Vec<_> = proxy.seen().into_iter().filter(|seen| seen.way == Way::ToServer).collect();
        let commits = |seen: &Seen| seen.text.contains("NOTIFY") && seen.text.ends_with("COMMIT");
        (seen.iter().position(commits).expect("it commits") + 1, seen.len())
    };
    let (commit, all) = asks();
    assert_eq!(asks(), (commit, all), "each time the same");
    assert!(all > commit + 1, "it reads behind the commit what came of it");
    let arrived = || done(&shop, &database.url(), &["job", "show", "1"]).stdout.matches("base 6").count();
    for (nth, words, more) in [
        (commit, "nothing was recorded. Try again when it is back", 0),
        (commit + 1, "error: it was recorded; behind that the server of", 1),
    ] {
        let before = arrived();
        proxy.arm(Way::ToServer, nth, Fault::CutBefore);
        let output = shop.run(on(&book, &arrives));
        assert!(
            proxy.struck().is_some() && output.status == FAULT && output.stderr.contains(words),
            "{output:?}"
        );
        assert_eq!(arrived(), before + more, "{output:?}");
    }
}

#[test]
fn whoever_keeps_the_server_makes_the_backups_and_nobody_is_told_to() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let book = database.url();
    let shop = begun(&book);
    let words = "with its server, by whoever looks after that";
    for told in [
        done(&shop, &book, &["day"]).stdout,
        done(&shop, &book, &["book", "where"]).stderr,
        done(&shop, &book, &["book", "check"]).stderr,
        shop.run(on(&book, &["book", "backup"])).stderr,
    ] {
        assert!(
            told.contains(words) && !told.contains("no backup yet") && !told.contains("none yet"),
            "{told}"
        );
    }
    assert!(done(&shop, &book, &["day", "--json"]).json()["last_backup"].is_null());
    assert!(!shop.folder().join("backups").exists());
}

/// The bench on plain lines, with the keypad in its process.
struct Bench {
    child: Child,
    keys: ChildStdin,
    lines: Receiver<String>,
    told: Vec<String>,
}

impl Bench {
    fn start(shop: &Shop, book: &str) -> Self {
        let mut command = shop.command();
        command.args(on(book, &["bench", "--port", "software", "--yes", "--memory", "keypad.mem"]));
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let (keys, out) = (child.stdin.take().unwrap(), BufReader::new(child.stdout.take().unwrap()));
        let (tell, lines) = channel();
        thread::spawn(move || out.lines().map_while(Result::ok).try_for_each(|line| tell.send(line)));
        Self { child, keys, lines, told: Vec::new() }
    }

    /// Waits until a line has `words`, and gives it.
    fn tells(&mut self, words: &str) -> String {
        let until = Instant::now() + PATIENCE;
        loop {
            let left = until.saturating_duration_since(Instant::now());
            let line = self.lines.recv_timeout(left);
            let line = line.unwrap_or_else(|_| panic!("no `{words}` behind {:#?}", self.told));
            self.told.push(line.clone());
            if line.contains(words) {
                return line;
            }
        }
    }

    /// The line that has `words`, if it was told by now.
    fn told(&mut self, words: &str) -> Option<String> {
        self.told.extend(self.lines.try_iter());
        self.told.iter().find(|line| line.contains(words)).cloned()
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
    }
}

impl Drop for Bench {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Takes the first job in hand, and accepts what is read of its right lens.
const READ: &str =
    "centre\nwait 400\ncentre\nwait 400\ncentre\nwait 400\ncentre\nwait 400\ncentre\nwait 400\n";

fn read(shop: &Shop, book: &str) -> usize {
    done(shop, book, &["job", "show", "1"]).stdout.matches("right: read uncut").count()
}

#[test]
fn the_bench_tells_once_since_when_the_server_is_away_and_takes_everything_in_when_it_is_back() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let book = database.url();
    let shop = begun(&book);
    let mut bench = Bench::start(&shop, &book);
    bench.tells("is on the keypad");
    server.kill9();
    let away = bench.tells("server away since ");
    assert!(away.contains("nothing waiting: the keypad keeps what is logged"), "{away}");
    bench.press(READ);
    thread::sleep(Duration::from_secs(4));
    server.restart();
    let back = bench.tells("server back (away since ");
    assert!(back.ends_with("1 record came in"), "{back}: {:#?}", bench.told);
    assert_eq!(bench.told.iter().filter(|line| line.contains("server away")).count(), 1, "{:#?}", bench.told);
    assert!(bench.told.iter().any(|line| line.contains("right: read uncut")), "{:#?}", bench.told);
    assert_eq!(read(&shop, &book), 1);
}

#[test]
fn a_bench_that_is_started_while_the_server_is_away_waits_for_it() {
    let Some(server) = Server::start() else { return };
    let database = server.database();
    let book = database.url();
    let shop = begun(&book);
    server.kill9();
    let mut bench = Bench::start(&shop, &book);
    bench.tells("server away since ");
    thread::sleep(Duration::from_secs(1));
    server.restart();
    bench.tells("server back");
    bench.tells("is on the keypad");
    bench.press(READ);
    bench.tells("right: read uncut");
    assert_eq!(read(&shop, &book), 1);
}
