//! The chains, gone through from their first record to their last.
//!
//! A record whose digest does not follow was changed, or what stood before it is gone: how many links its chain should
//! have tells which.

use super::chain::{Chain, Chained, Digest, NOTHING, of_commit};
use super::engine::Conn;
use super::entry::{Entry, columns, entry};
use super::heads::Head;
use super::value::{Fault, Row, values};
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// A chain as far as it was gone through.
#[derive(Debug)]
struct Link {
    /// How many links were found, and the digest that the last is kept with.
    found: Head,
    /// The digest that the last should have; differs where only the digest was changed.
    right: Digest,
    /// The last record.
    last: Option<Entry>,
    /// How many links the chain lacks by its count; below zero for too many.
    lacks: i64,
    /// Whether anything was told of it.
    told: bool,
}

/// What is kept of the end of each chain, and what was found of it.
struct Walk<'p> {
    kept: BTreeMap<String, Head>,
    links: BTreeMap<Chain, Link>,
    commits: Head,
    problems: &'p mut Vec<String>,
}

/// Goes through all chains, and tells what does not follow.
pub(super) fn walk(conn: &Conn, problems: &mut Vec<String>) -> Result<(), Fault> {
    let kept = conn.rows("SELECT of, links, digest FROM chain", values![], |r| {
        Ok((r.get(0)?, Head { links: r.get(1)?, digest: r.get(2)? }))
    })?;
    let mut walk =
        Walk { kept: kept.into_iter().collect(), links: BTreeMap::new(), commits: Head::default(), problems };
    walk.count(conn)?;
    walk.table(conn, Chained::Record)?;
    walk.table(conn, Chained::Conflict)?;
    walk.ends();
    Ok(())
}

impl Walk<'_> {
    /// How many links each chain lacks.
    fn count(&mut self, conn: &Conn) -> Result<(), Fault> {
        let sql = "SELECT journal, count(*) FROM record GROUP BY journal";
        let journal = |r: &Row<'_>| Ok((Chain::Journal(r.get(0)?), r.get(1)?));
        let mut found: Vec<(Chain, i64)> = conn.rows(sql, values![], journal)?;
        let conflicts = conn.value("SELECT count(*) FROM conflict", values![])?;
        found.extend((conflicts > 0).then_some((Chain::Conflicts, conflicts)));
        for (chain, found) in found {
            let lacks = self.kept.get(&chain.name()).map_or(0, |kept| kept.links) - found;
            self.links.insert(
                chain,
                Link { found: Head::default(), right: NOTHING, last: None, lacks, told: false },
            );
        }
        Ok(())
    }

    fn table(&mut self, conn: &Conn, table: Chained) -> Result<(), Fault> {
        let sql = match table {
            Chained::Record => concat!("SELECT ", columns!(), ", digest FROM record ORDER BY position"),
            Chained::Conflict => concat!("SELECT ", columns!(), ", digest FROM conflict ORDER BY position"),
        };
        conn.each(sql, values![], &mut |row| {
            match entry(row).and_then(|entry| Ok((entry, row.get(10)?))) {
                Ok((entry, digest)) => self.row(table, entry, digest),
                Err(e) => self.problems.push(format!("a record cannot be read: {e}")),
            }
            Ok(ControlFlow::Continue(()))
        })
    }

    fn row(&mut self, table: Chained, entry: Entry, digest: Digest) {
        let Some(link) = self.links.get_mut(&table.chain(&entry)) else { return };
        let right = table.digest(&link.found.digest, &entry);
        // Where only the digest before was changed, this one follows what that should be.
        let follows = digest == right
            || (link.right != link.found.digest && digest == table.digest(&link.right, &entry));
        if !follows {
            link.told = true;
            self.problems.push(unlike(table, link, &entry));
        }
        link.found.follow(digest);
        link.right = right;
        link.last = Some(entry);
        if table == Chained::Record {
            self.commits.follow(of_commit(&self.commits.digest, &digest));
        }
    }

    /// Compares the end of each chain with what was kept of it.
    fn ends(&mut self) {
        let commits = self.kept.remove(&Chain::Commits.name()).unwrap_or_default();
        for (chain, link) in &self.links {
            let whose = whose(*chain);
            let last = link.last.as_ref().map_or_else(String::new, |last| format!(" behind {}", last.id));
            let problem = match (self.kept.remove(&chain.name()), link.lacks) {
                (None, _) => format!("the kept end of {whose} is missing"),
                (_, 1) => format!("the record{last} is missing from {whose}"),
                (_, lacks @ 2..) => format!("{lacks} records{last} are missing from {whose}"),
                _ if link.told => continue,
                (_, more @ ..=-1) => format!("{whose} has {} records too many", more.unsigned_abs()),
                (Some(kept), _) if kept != link.found => format!("the kept end of {whose} was changed"),
                _ => continue,
            };
            self.problems.push(problem);
        }
        for (name, head) in std::mem::take(&mut self.kept) {
            self.problems.push(format!("all {} records of {name} are missing", head.links));
        }
        // Anything else that was told makes this differ too.
        if commits != self.commits && self.problems.is_empty() {
            self.problems.push("the order of the records of different journals was changed".to_owned());
        }
    }
}

/// Why a record does not follow the one before it.
fn unlike(table: Chained, link: &mut Link, entry: &Entry) -> String {
    let id = entry.id;
    if table == Chained::Conflict {
        return format!("what arrived as record {id} and differs was changed");
    }
    let before = link.last.as_ref().map_or(0, |last| last.id.seq);
    let gap = i64::from(id.seq) - i64::from(before) - 1;
    if link.lacks > 0 && gap > 0 {
        link.lacks -= gap.min(link.lacks);
        let (from, to) = (before + 1, id.seq - 1);
        return if from == to {
            format!("record {}:{from} is missing", id.journal)
        } else {
            format!("records of {} are missing between number {before} and {}", id.journal, id.seq)
        };
    }
    format!("record {id} was changed")
}

/// Of what a chain is.
fn whose(chain: Chain) -> String {
    match chain {
        Chain::Journal(journal) => format!("journal {journal}"),
        Chain::Commits => "all records".to_owned(),
        Chain::Conflicts => "the conflicts".to_owned(),
    }
}
