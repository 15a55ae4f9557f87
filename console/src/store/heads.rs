//! The ends of chains, which a write lengthens.

use super::chain::{Chain, Chained, Digest, NOTHING, of_commit};
use super::engine::Conn;
use super::entry::Entry;
use super::value::{Fault, Row, values};
use std::collections::BTreeMap;

/// The end of a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Head {
    /// How many rows it has.
    pub(super) links: i64,
    /// The digest of the last.
    pub(super) digest: Digest,
}

impl Default for Head {
    fn default() -> Self {
        Self { links: 0, digest: NOTHING }
    }
}

impl Head {
    pub(super) fn follow(&mut self, digest: Digest) {
        *self = Self { links: self.links + 1, digest };
    }
}

/// The ends of the chains that a write lengthens, read once and kept with its commit.
#[derive(Debug, Default)]
pub(super) struct Heads {
    ends: BTreeMap<Chain, Head>,
    /// The last position that was given in each table.
    last_record: Option<i64>,
    last_conflict: Option<i64>,
}

impl Heads {
    /// Puts a row behind the end of its chain, and gives its digest; at the next free position where none is given.
    pub(super) fn insert(
        &mut self,
        conn: &Conn,
        table: Chained,
        position: Option<i64>,
        entry: &Entry,
    ) -> Result<Digest, Fault> {
        let chain = table.chain(entry);
        let commits = (table == Chained::Record).then_some(Chain::Commits);
        self.know(conn, [chain, commits.unwrap_or(chain)])?;
        let digest = table.digest(&self.end(chain).digest, entry);
        let Entry { position: _, id, kind, job, payload, boot, ticks, utc_ms, apart } = entry;
        let (position, payload, apart) =
            (self.position(conn, table, position)?, payload.as_slice(), apart.as_deref());
        conn.put(
            table.insertion(),
            values![
                position, id.journal, id.seq, *kind, *job, payload, *boot, *ticks, *utc_ms, apart, &digest
            ],
        )?;
        self.end(chain).follow(digest);
        if let Some(commits) = commits.map(|commits| self.end(commits)) {
            commits.follow(of_commit(&commits.digest, &digest));
        }
        Ok(digest)
    }

    /// The position of the next row; the one behind the last where none is given.
    fn position(&mut self, conn: &Conn, table: Chained, given: Option<i64>) -> Result<i64, Fault> {
        let last = match table {
            Chained::Record => &mut self.last_record,
            Chained::Conflict => &mut self.last_conflict,
        };
        let position = match (given, *last) {
            (Some(given), _) => given,
            (None, Some(last)) => last + 1,
            (None, None) => conn.given_before(table)? + 1,
        };
        *last = Some(position);
        Ok(position)
    }

    /// Sees to it that the ends of these chains are known, as they were kept last.
    pub(super) fn know(&mut self, conn: &Conn, chains: [Chain; 2]) -> Result<(), Fault> {
        if chains.iter().all(|chain| self.ends.contains_key(chain)) {
            return Ok(());
        }
        let names = chains.map(Chain::name);
        let sql = "SELECT of, links, digest FROM chain WHERE of = ?1 OR of = ?2";
        let row = |r: &Row<'_>| Ok((r.get::<String>(0)?, Head { links: r.get(1)?, digest: r.get(2)? }));
        let kept = conn.rows(sql, values![&names[0], &names[1]], row)?;
        for (chain, name) in chains.into_iter().zip(names) {
            let kept = kept.iter().find(|(of, _)| *of == name).map(|(_, head)| *head);
            self.ends.entry(chain).or_insert(kept.unwrap_or_default());
        }
        Ok(())
    }

    /// The end of a chain that is known.
    fn end(&mut self, chain: Chain) -> &mut Head {
        self.ends.entry(chain).or_default()
    }

    /// Writes the ends down, which is the last thing that a write does.
    pub(super) fn keep(self, conn: &Conn) -> Result<(), Fault> {
        let sql = "INSERT INTO chain (of, links, digest) VALUES (?1, ?2, ?3)
                   ON CONFLICT (of) DO UPDATE SET links = excluded.links, digest = excluded.digest";
        for (chain, head) in self.ends.into_iter().filter(|(_, head)| head.links > 0) {
            conn.put(sql, values![&chain.name(), head.links, &head.digest])?;
        }
        Ok(())
    }
}
