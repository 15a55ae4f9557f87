//! `book grant` and `book revoke`: what the roles of a server may do with the book that it keeps.

use crate::cli::{Failure, Report, shop::Shop};
use crate::store::{Book, Duty, Rights};
use clap::Args;
use serde_json::json;

const HELP: &str = "\
A role is an account of the server; whoever looks after that makes one, with a password of its own:
createuser --pwprompt bench1. Give each bench, counter and office a role of its own. Only the owner of the book says what
a role may:
  reader    looks at everything but names of people
  bench     logs as well: jobs, passes, readings, sign-offs; what was logged can be changed or deleted by nobody
  counter   reads, sets and forgets names as well
What a role works as is replaced by what is granted last. Programs that are open meet it at their next step.

Examples:
  bevelbook book grant
  bevelbook book grant bench1 --as bench
  bevelbook book revoke bench1";

/// Let a role of the server work with the book; alone, list who may what.
#[derive(Args)]
#[command(after_help = HELP)]
pub(crate) struct GrantArgs {
    /// The role.
    #[arg(requires = "duty")]
    role: Option<String>,
    /// What it works as.
    #[arg(long = "as", value_name = "WHAT", requires = "role")]
    duty: Option<Duty>,
}

/// Take everything from a role of the server.
#[derive(Args)]
pub(crate) struct RevokeArgs {
    /// The role.
    role: String,
}

pub(super) fn grant(shop: &Shop, args: &GrantArgs) -> Result<Report, Failure> {
    let (GrantArgs { role: Some(role), duty: Some(duty) }, place) = (args, shop.place()?) else {
        return list(shop);
    };
    let rights = Book::give_rights(&place, role, Some(*duty))?;
    Ok(given(&rights, rights.duty() != Some(*duty)))
}

pub(super) fn revoke(shop: &Shop, args: &RevokeArgs) -> Result<Report, Failure> {
    let rights = Book::give_rights(&shop.place()?, &args.role, None)?;
    let more = rights.reads || rights.logs || rights.reads_names || rights.sets_names;
    Ok(given(&rights, more))
}

/// What a role may now; `more` than what it was given here it may by others.
fn given(rights: &Rights, more: bool) -> Report {
    let role = &rights.role;
    let by_another = "it may more by another role that it is a member of, or by what was granted to everybody: have the server \
                      looked over";
    Report::new(format!("{role}  {}", may(rights)), json!(rights)).hints(more.then(|| by_another.to_owned()))
}

fn list(shop: &Shop) -> Result<Report, Failure> {
    let all = Book::all_rights(&shop.place()?)?;
    let widest = all.iter().map(|rights| rights.role.chars().count()).max().unwrap_or_default();
    let lines: Vec<String> =
        all.iter().map(|rights| format!("{:widest$}  {}", rights.role, may(rights))).collect();
    Ok(Report::new(lines.join("\n"), json!(all)))
}

/// What a role may, in words that follow its name.
pub(super) fn may(rights: &Rights) -> String {
    if rights.owns {
        return "owner: may everything".to_owned();
    }
    match rights.duty() {
        Some(Duty::Reader) => "reader: looks at everything but names of people".to_owned(),
        Some(Duty::Bench) => "bench: looks and logs, without names of people".to_owned(),
        Some(Duty::Counter) => "counter: looks, logs, reads, sets and forgets names of people".to_owned(),
        None => {
            let parts = [
                (rights.reads, "looks"),
                (rights.logs, "logs"),
                (rights.reads_names, "reads names"),
                (rights.sets_names, "sets and forgets names"),
            ];
            let parts: Vec<&str> = parts.iter().filter(|(is, _)| *is).map(|(_, part)| *part).collect();
            if parts.is_empty() { "may nothing".to_owned() } else { parts.join(", ") }
        }
    }
}
