//! The way to the server is cut before and behind every message that a record needs: it is in the book once, or not, and that
//! is what was said.

use crate::account::{self, Account, Answer, Row};
use crate::keypad::Keypad;
use crate::shop;
use bevelbook::keypad::Now;
use bevelbook_keypad::keys::Key;
use bevelbook_server::{Fault, Proxy, Seen, Server, Way};
use bevelbook_tests::Shop;
use std::time::{Duration, Instant};

/// In each way, before and behind a message.
const CUTS: [(Way, Fault); 4] = [
    (Way::ToServer, Fault::CutBefore),
    (Way::ToServer, Fault::CutAfter),
    (Way::ToClient, Fault::CutBefore),
    (Way::ToClient, Fault::CutAfter),
];

/// No write takes so many messages.
const ENDLESS: usize = 200;

/// Whether a commit was done, and its answer did not come.
fn is_unanswered(struck: &Seen, fault: Fault) -> bool {
    match struck.way {
        Way::ToServer => fault == Fault::CutAfter && struck.text.contains("COMMIT"),
        // It tells others and commits in one message, and what was done is answered together.
        Way::ToClient => struck.kind == Some('C') && ["NOTIFY", "COMMIT"].contains(&struck.text.as_str()),
    }
}

/// Cuts the way at every message up to a commit and its answer of what `once` does from when it says so on, which is done anew for each; `all` of them,
/// or those after which somebody waits: what is sent in one piece is lost in one piece. Says how often, and how often a commit
/// was done that was not answered.
fn cut_everywhere(proxy: &Proxy, all: bool, mut once: impl FnMut(&str, &dyn Fn())) -> (usize, usize) {
    let (mut cuts, mut unanswered) = (0, 0);
    for (way, fault) in CUTS {
        let kinds = match way {
            Way::ToServer if all => "",
            // All but rows: there is one more of the job with each cut, so that no cut would come nearer to the commit.
            Way::ToClient if all => "12tTnCZ",
            Way::ToServer => "QS",
            Way::ToClient => "CZ",
        };
        let mut committed = false;
        for nth in 1.. {
            assert!(nth < ENDLESS, "{way:?}, {fault:?}: no cut comes nearer to the commit");
            once(&format!("{way:?}-{nth}-{fault:?}"), &|| proxy.arm_at(way, kinds, nth, fault));
            let Some(struck) = proxy.struck() else { break };
            cuts += 1;
            unanswered += usize::from(is_unanswered(&struck, fault));
            // One behind it is tried too.
            if std::mem::replace(&mut committed, struck.text.ends_with("COMMIT")) {
                break;
            }
        }
    }
    (cuts, unanswered)
}

/// A keypad that is at sizing, and a clock that a test moves on.
struct Bench {
    keypad: Keypad,
    ms: u64,
}

impl Bench {
    fn new(book: &str) -> Self {
        let now = Now { ms: 0, utc_ms: 1_772_355_600_000 };
        let mut bench = Self { keypad: Keypad::new(shop::open(book).unwrap(), 0, now).unwrap(), ms: 0 };
        bench.run(6_000);
        bench.press(Key::Centre);
        bench
    }

    fn now(&self) -> Now {
        Now { ms: self.ms, utc_ms: 1_772_355_600_000 + self.ms as i64 }
    }

    fn turn(&mut self) {
        self.ms += 10;
        self.keypad.turn(self.now());
    }

    fn run(&mut self, ms: u64) {
        (0..ms / 10).for_each(|_| self.turn());
    }

    fn press(&mut self, key: Key) {
        self.ms += 400;
        self.keypad.press(key, self.now());
    }

    /// Lets time pass until the console told it that all of it is in the book; connecting anew takes some of the true time.
    fn until_acknowledged(&mut self) {
        let begun = Instant::now();
        while self.keypad.acknowledged() < self.keypad.saved() {
            self.turn();
            std::thread::sleep(Duration::from_millis(1));
            assert!(begun.elapsed() < Duration::from_secs(60), "{:?}", self.keypad.notes);
        }
    }
}

fn cut_intake(all: bool) {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    shop::begin(&database.url());
    let proxy = Proxy::before(server);
    let mut bench = Bench::new(&proxy.url(database.name()));
    let (cuts, unanswered) = cut_everywhere(&proxy, all, |_, ready| {
        ready();
        let saved = bench.keypad.saved();
        // The memory holds some three hundred.
        bench.press(Key::Up);
        assert_eq!(bench.keypad.saved(), saved + 1);
        bench.until_acknowledged();
    });
    let mut account = Account::default();
    account.acknowledged.insert(bench.keypad.journal(), bench.keypad.acknowledged());
    account.held.insert(bench.keypad.journal(), bench.keypad.records());
    account.assert_all(&account::book(&mut database.client()), &shop::open(&database.url()).unwrap());
    println!(
        "a keypad's record: cut {cuts} times, {unanswered} of them with the commit done and not answered; none lost or twice"
    );
    assert!(cuts > 20 && unanswered >= 3, "{cuts} cuts, {unanswered} unanswered");
}

#[test]
fn a_record_of_a_keypad_is_in_the_book_once_wherever_the_way_is_cut() {
    cut_intake(false);
}

#[test]
#[ignore = "takes minutes"]
fn a_record_of_a_keypad_is_in_the_book_once_whichever_message_is_cut() {
    cut_intake(true);
}

#[test]
fn what_is_typed_is_recorded_once_or_not_and_says_which_wherever_the_way_is_cut() {
    cut_typed(false);
}

#[test]
#[ignore = "takes minutes"]
fn what_is_typed_is_recorded_once_or_not_and_says_which_whichever_message_is_cut() {
    cut_typed(true);
}

fn cut_typed(all: bool) {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    shop::begin(&database.url());
    let proxy = Proxy::before(server);
    let url = proxy.url(database.name());
    let mut account = Account::default();
    let (cuts, unanswered) = cut_everywhere(&proxy, all, |text, ready| {
        let mut work = shop::open(&url).unwrap();
        let job = work.find("1").unwrap().id;
        ready();
        account.typed.insert(text.to_owned(), account::answer(work.note(job, text).map(Some)));
    });
    account.assert_all(&account::book(&mut database.client()), &shop::open(&database.url()).unwrap());
    let recorded = account.answered(|answer| matches!(answer, Answer::Recorded(_)));
    println!(
        "a typed command: cut {cuts} times, {unanswered} of them with the commit done and not answered; {recorded} were recorded \
         and said so, {} were not and said so",
        account.answered(|answer| matches!(answer, Answer::Not(_)))
    );
    assert_eq!(account.answered(|answer| *answer == Answer::Unsure), 0);
    assert!(cuts > 20 && unanswered >= 3 && recorded >= unanswered, "{cuts} cuts, {unanswered} unanswered");
}

/// How often the text of a remark stands in the book.
fn times(book: &[Row], text: &str) -> usize {
    book.iter().filter(|row| row.texts().any(|found| found == text)).count()
}

#[test]
fn the_command_itself_says_what_is_true_around_its_commit() {
    let Some(server) = Server::shared() else { return };
    let database = server.database();
    shop::begin(&database.url());
    let proxy = Proxy::before(server);
    let shop = Shop::new();
    let run = |text: &str| {
        let mut command = shop.command();
        command.env("BEVELBOOK_BOOK", proxy.url(database.name())).env("XDG_DATA_HOME", shop.folder());
        let ended = command.args(["record", "note", "1", text]).output().unwrap();
        (ended.status.success(), String::from_utf8(ended.stderr).unwrap())
    };
    let _ = run("a journal is begun");
    let _ = proxy.seen();
    assert!(run("without a fault").0);
    let seen = proxy.seen();
    let commit =
        seen.iter().rposition(|seen| seen.way == Way::ToServer && seen.text.contains("COMMIT")).unwrap();
    for (number, (way, fault)) in CUTS.into_iter().enumerate() {
        // The commit itself, or the first that is told of it: of what is done in between there may be more or less.
        let (kinds, kind) = if way == Way::ToServer { ("Q", 'Q') } else { ("C", 'C') };
        let before = seen[..commit].iter().filter(|seen| seen.way == way && seen.kind == Some(kind));
        let nth = 1 + before.count();
        let lost = (way, fault) == CUTS[0];
        // It is asked for ten seconds, which is enough for one of each kind.
        let aways: &[bool] = if fault == Fault::CutBefore { &[false, true] } else { &[false] };
        for &away in aways {
            let text = format!("cut-{number}-{away}");
            proxy.arm_at(way, kinds, nth, fault);
            // Nobody can be asked afterwards.
            if away {
                proxy.refuse_when_struck();
            }
            let (well, said) = run(&text);
            proxy.refuse(false);
            let struck = proxy.struck().unwrap();
            let there = times(&account::book(&mut database.client()), &text);
            assert_eq!(there, usize::from(!lost), "{struck:?}: {said}");
            assert_eq!(well, !lost && !away, "{struck:?}: {said}");
            assert_eq!(said.contains("may be recorded"), away, "{struck:?}: {said}");
            assert_eq!(said.contains("nothing was recorded"), lost && !away, "{struck:?}: {said}");
        }
    }
}
