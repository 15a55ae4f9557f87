//! `book`: looking after the book.

mod backup;
mod begin;
mod check;
mod conflicts;
mod forget;
mod given;
mod place;
mod restore;
mod rights;
mod transfer;

pub(super) use backup::last;

use super::{Failure, Report, shop::Shop};
use clap::Subcommand;

#[derive(Subcommand)]
pub(crate) enum BookCommand {
    /// Show where the book is.
    Where,
    /// Begin a book, as on a server, where none is begun by its first job.
    Begin(begin::BeginArgs),
    /// Look the whole book over: its pages, its references, the digest of every record; name what is wrong.
    Check(check::BookCheckArgs),
    /// List what arrived under a number already taken, or decide which record counts.
    Conflicts(conflicts::ConflictsArgs),
    /// Copy the book, also while others write to it.
    Backup(backup::BackupArgs),
    /// Bring a backup back in the book's place; the present book is kept beside it.
    Restore(restore::RestoreArgs),
    /// Write the whole book as lines of JSON; of a damaged book, what can be read.
    Export(transfer::ExportArgs),
    /// Take in what another book exported.
    Import(transfer::ImportArgs),
    /// Remove the name of a person from the book, its log and its backups.
    Forget(forget::ForgetArgs),
    /// Let a role of the server work with the book; alone, list who may what.
    Grant(rights::GrantArgs),
    /// Take everything from a role of the server.
    Revoke(rights::RevokeArgs),
}

pub(crate) fn run(shop: &Shop, command: &BookCommand) -> Result<Report, Failure> {
    match command {
        BookCommand::Where => place::run(shop),
        BookCommand::Begin(args) => begin::run(shop, args),
        BookCommand::Check(args) => check::run(shop, args),
        BookCommand::Conflicts(args) => conflicts::run(shop, args),
        BookCommand::Backup(args) => backup::run(shop, args),
        BookCommand::Restore(args) => restore::run(shop, args),
        BookCommand::Export(args) => transfer::export(shop, args),
        BookCommand::Import(args) => transfer::import(shop, args),
        BookCommand::Forget(args) => forget::run(shop, args),
        BookCommand::Grant(args) => rights::grant(shop, args),
        BookCommand::Revoke(args) => rights::revoke(shop, args),
    }
}
