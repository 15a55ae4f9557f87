//! `book export` and `book import`: a book as lines of JSON, and lines or another book into a book.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Counts, Error, ImportError, Merged, Place, Reader, Trouble, Unread, is_database};
use clap::Args;
use std::ffi::OsString;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

const HELP: &str = "\
One JSON object a line: a first line with the version, a `person` line for each name, a `record` line for each record in
the order of commits (journal, seq, kind, job, payload in hexadecimal digits, boot, ticks, utc_ms, apart), a `conflict`
line for what arrived under a number already taken, and an `end` line with counts and a SHA-256 of all before it.
What cannot be read of a damaged book is passed over and named, with exit code 1. Whoever may not read names in a book on
a server exports it without them.

Examples:
  bevelbook book export book.jsonl
  bevelbook book export - --no-names | less";

/// Write the whole book as lines of JSON; of a damaged book, what can be read.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct ExportArgs {
    /// The file to write, `-` for the standard output.
    #[arg(value_name = "FILE|-")]
    file: PathBuf,
    /// Leave the names of persons out.
    #[arg(long)]
    no_names: bool,
}

pub(super) fn export(shop: &Shop, args: &ExportArgs) -> Result<Report, Failure> {
    let book = Book::look(shop.place()?)?;
    let (report, unread) = if args.file == Path::new("-") {
        match book.export(io::BufWriter::new(io::stdout().lock()), !args.no_names) {
            Ok((_, unread)) => (Report::default(), unread),
            // A reader that has gone away ends the output quietly.
            Err(Error { trouble: Trouble::File { source, .. }, .. })
                if source.kind() == io::ErrorKind::BrokenPipe =>
            {
                return Ok(Report::default());
            }
            Err(error) => return Err(error.into()),
        }
    } else {
        let (counts, unread) = book.export_to(&args.file, !args.no_names)?;
        let Counts { records, conflicts, people } = counts;
        let report = answer!(
            "exported to {path}: {records} records, {conflicts} conflicts, {people} names";
            path = args.file.display().to_string(), records = records, conflicts = conflicts, people = people,
            whole = unread.is_empty(),
        );
        (report, unread)
    };
    let mut report =
        report.hints(without_names(&book).filter(|_| !args.no_names)).hints(unread.iter().map(missing));
    report.not_within = !unread.is_empty();
    Ok(report)
}

fn missing(Unread { what, from, upto, why }: &Unread) -> String {
    let upto = upto.map_or("the last".to_owned(), |upto| upto.to_string());
    format!("NOT exported, since it cannot be read: table {what}, rows {from} to {upto} ({why})")
}

/// What is to be told of a copy that a role makes which may not read names.
pub(super) fn without_names(book: &Reader) -> Option<String> {
    book.nameless().map(|role| format!("names of people are left out: role {role} may not read them"))
}

const IMPORT_HELP: &str = "\
What comes is what `book export` wrote, or a whole book: a file, or one that a server keeps. The journals of the other
book join those that are here; importing again changes nothing. A record that differs from the one here under its number
is kept as a conflict. Names that are here stay as they are. All of it is imported or nothing, in one write, for which
other consoles wait. Orders and sign-offs come as well: import only from books that you trust.

A book that moves from a file to a server, and back:
  bevelbook --book postgres://owner@books.example/shop book begin
  bevelbook --book postgres://owner@books.example/shop book import shop.db
  bevelbook --book new.db book import postgres://owner@books.example/shop";

/// Take in another book: a file, one of a server, or what `book export` wrote.
#[derive(Args)]
#[command(after_help = IMPORT_HELP)]
pub(crate) struct ImportArgs {
    /// The file that `book export` wrote, or the other book.
    #[arg(value_name = "FILE|postgres://…")]
    from: OsString,
}

pub(super) fn import(shop: &Shop, args: &ImportArgs) -> Result<Report, Failure> {
    let from = Place::named(args.from.clone()).map_err(|why| Failure::Use(why.to_string()))?;
    let (what, merged, nameless) = match from.as_file().filter(|path| !is_database(path)) {
        Some(path) => ("lines", import_lines(shop, path)?, None),
        None => {
            let other = Book::look(&from)?;
            let merged = Book::open_or_begin(shop.place()?)?.import_book(&other)?;
            ("book", merged, other.nameless().map(str::to_owned))
        }
    };
    let Merged { new, known, names_kept } = merged;
    let report = answer!(
        "the {what} of {from} came: {records} records, {conflicts} conflicts and {people} names were new here; \
         {known_records} records were here already";
        from = from.to_string(), what = what,
        records = new.records, people = new.people, known_records = known.records, conflicts = new.conflicts,
        names_kept = names_kept,
    );
    let conflicts = (new.conflicts > 0).then(|| {
        format!("{} records differ from those that are here under their numbers: conflicts", new.conflicts)
    });
    let names = (names_kept > 0).then(|| format!("{names_kept} names differ from those here, which stay"));
    let nameless =
        nameless.map(|role| format!("NOT imported: names of people, which role {role} may not read there"));
    Ok(report.hints(conflicts).hints(names).hints(nameless))
}

fn import_lines(shop: &Shop, path: &Path) -> Result<Merged, Failure> {
    let file = File::open(path).map_err(|e| {
        let told = format!("cannot read {}: {e}", path.display());
        if e.kind() == io::ErrorKind::NotFound { Failure::NotFound(told) } else { Failure::Fault(told) }
    })?;
    Book::open_or_begin(shop.place()?)?.import_lines(file).map_err(|error| match error {
        ImportError::Book(error) => error.into(),
        error @ ImportError::Read { .. } => Failure::fault(error),
        error @ ImportError::Line { .. } => Failure::wrong(format!("{}: {error}", path.display())),
    })
}
