//! `book forget`: a person's name leaves the book and its copies.

use crate::cli::{Failure, Report, answer, shop::Shop};
use crate::store::{Book, Forgotten, Place, copies_of};
use clap::Args;

const HELP: &str = "\
What was logged at the bench stays, under the reference alone. The name leaves the book, its log, the backups in the
folder beside it, and books that were kept beside it by `book restore` or before a change of their format: those are
rewritten without it. Exports, backups and sheets that were written elsewhere are not known to the book: delete those
that hold the name yourself. Close what has the book open first.

In a book that a server keeps, the name leaves the table. What the server keeps beside it goes on holding the name until
whoever looks after the server lets that expire: its backups, its write-ahead log with what was archived of it, and in part
the free space of its files. Ask for that too, if a person is to be forgotten. Only who reads names may forget them: a
counter, or the owner, for whom those files are written anew, without what nobody's open connection still sees.

Examples:
  bevelbook book forget K-17
  bevelbook book forget K-17 --yes";

const AT_SERVER: &str = "the server's backups, its write-ahead log and what was archived of it hold the name until whoever \
     looks after the server lets them expire, and so does its own log, if it keeps what it is asked: ask for that";

const NOT_TIDIED: &str = "the place in the server's file where it stood is not written over yet: the server does that some \
     time; the owner of the book does it by forgetting the same reference again, as soon as no connection to the server is still \
     within what it began to read before";

/// Remove the name of a person from the book, its log and its backups.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct ForgetArgs {
    /// The person's reference, as orders have it.
    #[arg(value_name = "PERSON")]
    reference: String,
    /// Do it; without this, only what would be done is said.
    #[arg(long)]
    yes: bool,
}

/// What would be forgotten, for whoever has not said yes.
fn asked(place: &Place, reference: &str) -> Result<Failure, Failure> {
    let book = Book::look(place)?;
    book.may_set_names()?;
    let here = book.person(reference)?;
    let name = here.map_or("no name".to_owned(), |name| format!("the name `{}`", name.escape_debug()));
    let copies = match place.as_file() {
        Some(file) => {
            format!(" and from what copies have it among the {} beside the book", copies_of(file)?.len())
        }
        None => "; the server's backups and its log keep it until they expire".to_owned(),
    };
    Ok(Failure::Use(format!(
        "the book has {name} for {reference}; --yes removes it for good from the book{copies}"
    )))
}

pub(super) fn run(shop: &Shop, args: &ForgetArgs) -> Result<Report, Failure> {
    let (path, reference) = (shop.place()?, &args.reference);
    if !args.yes {
        return Err(asked(&path, reference)?);
    }
    let Forgotten { was_here, tidied, rewritten, left } = Book::open(&path)?.forget(reference)?;
    if !was_here && rewritten.is_empty() && left.is_empty() {
        return Err(Failure::NotFound(match path.as_file() {
            Some(_) => format!("neither the book nor a copy beside it has a name for {reference}"),
            None => {
                let left = match tidied {
                    true => "what was left of one that was forgotten is tidied",
                    false => NOT_TIDIED,
                };
                format!("the book has no name for {reference}; {left}")
            }
        }));
    }
    let files: Vec<String> = rewritten.iter().map(|file| file.display().to_string()).collect();
    let left: Vec<String> =
        left.into_iter().map(|(file, why)| format!("{}: {why}", file.display())).collect();
    let told = files.iter().map(|file| format!("\nrewritten without it: {file}")).collect::<String>();
    let still = left
        .iter()
        .map(|left| format!("\nMAY STILL HAVE IT, delete it yourself: {left}"))
        .collect::<String>();
    let mut report = answer!(
        "the name of {reference} is forgotten{}{}", told, still;
        reference = reference, was_here = was_here, tidied = tidied, rewritten = files, left = left,
    );
    report.not_within = !report.json["left"].as_array().is_none_or(Vec::is_empty);
    let at_server = path.as_file().is_none().then(|| AT_SERVER.to_owned());
    Ok(report.hints(at_server).hints((!tidied).then(|| NOT_TIDIED.to_owned())).hint(
        "exports, sheets with names and backups that were written elsewhere are not known to the book: delete those yourself",
    ))
}
