//! A book as text, one JSON object a line (RFC 8259), to be kept or read by other programs, and to be brought together
//! with another book.
//!
//! - The first line says what it is: `{"line":"bevelbook","version":1}`.
//! - `person`: a reference and its name, in the order of references; left out where names are not wanted.
//! - `record`, in the order of commits: the journal (16 hexadecimal digits), its number `seq`, the code of its kind, the
//!   job (16 digits) it is found under, what it says (`payload`, hexadecimal), the writer's starts and ticks, the wall
//!   time in milliseconds since 1970-01-01 UTC, and why it is kept apart. What a record has not is left out.
//! - `conflict`: the same, of what arrived under a number already taken, behind the record's own line.
//! - The last line, `end`, counts the others, and has the SHA-256 (FIPS 180-4) of all bytes before it, so that a file
//!   that was cut short or changed is found out.
//!
//! A line has at most [`MOST`] bytes. An import is one transaction: all of it or nothing.

use super::entry::Entry;
use super::export::Unread;
use super::file::Part;
use super::merge::{Counts, Merge, Merged};
use super::server::Patience;
use super::value::For;
use super::{Book, Error, Reader, Trouble, error};
use crate::json;
use bevelbook_core::record::{JournalId, RecordId};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fs::{File, OpenOptions};
use std::io::{self, BufRead, BufReader, BufWriter, Read, Seek, Write};
use std::path::Path;

/// The longest line that is read, in bytes. Own choice: far more than the longest record.
const MOST: usize = 1 << 20;

const VERSION: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(tag = "line", rename_all = "kebab-case", deny_unknown_fields)]
enum Line {
    Bevelbook { version: u32 },
    Person { reference: String, name: String },
    Record(Row),
    Conflict(Row),
    End { records: u64, conflicts: u64, people: u64, sha256: String },
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    journal: String,
    seq: u32,
    kind: u8,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    job: Option<String>,
    payload: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    boot: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ticks: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    utc_ms: Option<i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    apart: Option<String>,
}

/// Why lines were not taken in; nothing of them was.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// The book refused.
    #[error(transparent)]
    Book(#[from] Error),
    /// The file cannot be read.
    #[error("cannot read line {line}: {source}; nothing was imported")]
    Read {
        /// Which line.
        line: u64,
        /// What the system said.
        source: io::Error,
    },
    /// A line is not what it has to be.
    #[error("line {line}: {what}; nothing was imported")]
    Line {
        /// Which.
        line: u64,
        /// What is wrong, and what would be right.
        what: String,
    },
}

impl Reader {
    /// Writes the book to a file of its own, whole or not at all. An earlier export there is replaced.
    ///
    /// # Errors
    /// Another file is there, or the system refuses.
    pub fn export_to(&self, target: &Path, names: bool) -> Result<(Counts, Vec<Unread>), Error> {
        let refused = |e| error::refused("cannot write the export", target)(e).at(self.place());
        if target.exists() && !begins_as_export(target).map_err(refused)? {
            return self.join(Err(Trouble::Taken(target.to_path_buf())));
        }
        let part = self.join(Part::of(target))?;
        let file = OpenOptions::new().write(true).open(part.path()).map_err(refused)?;
        let mut out = BufWriter::new(file);
        let exported = self.export(&mut out, names)?;
        out.flush().map_err(refused)?;
        drop(out);
        self.join(part.finish(target))?;
        Ok(exported)
    }

    /// Writes the book as it is at one moment; what could not be read is returned.
    ///
    /// # Errors
    /// `out` cannot be written.
    pub fn export(&self, out: impl Write, names: bool) -> Result<(Counts, Vec<Unread>), Error> {
        self.wait_as(Patience::WholeBook);
        let _moment = self.conn.begin(For::Reading);
        let refused = |e| error::refused("cannot write the export", Path::new("out"))(e).at(self.place());
        let mut out = Lines { out, sum: Sha256::new() };
        let mut counts = Counts::default();
        out.put(&Line::Bevelbook { version: VERSION }).map_err(refused)?;
        let people = if names { self.people() } else { Ok(Vec::new()) };
        let mut unread = Vec::new();
        match people {
            Ok(people) => {
                for (reference, name) in people {
                    out.put(&Line::Person { reference, name }).map_err(refused)?;
                    counts.people += 1;
                }
            }
            Err(e) => unread.push(Unread { what: "person", from: 1, upto: None, why: e.to_string() }),
        }
        unread.extend(self.each_entry(|entry, conflict| {
            let count = if conflict { &mut counts.conflicts } else { &mut counts.records };
            *count += 1;
            let row = Row::of(&entry);
            out.put(&if conflict { Line::Conflict(row) } else { Line::Record(row) }).map_err(refused)
        })?);
        let Counts { records, conflicts, people } = counts;
        let sha256 = hex(&out.sum.clone().finalize());
        out.put(&Line::End { records, conflicts, people, sha256 }).map_err(refused)?;
        Ok((counts, unread))
    }
}

fn begins_as_export(file: &Path) -> io::Result<bool> {
    let mut beginning = Vec::new();
    File::open(file)?.take(20).read_to_end(&mut beginning)?;
    Ok(beginning.starts_with(br#"{"line":"bevelbook","#))
}

/// Lines that are written, and the sum of their bytes.
struct Lines<W> {
    out: W,
    sum: Sha256,
}

impl<W: Write> Lines<W> {
    fn put(&mut self, line: &Line) -> io::Result<()> {
        let text = json::shown(&serde_json::to_string(line)?) + "\n";
        self.sum.update(&text);
        self.out.write_all(text.as_bytes())
    }
}

impl Book {
    /// Takes in what another book exported: its journals join those that are here.
    ///
    /// # Errors
    /// A line is wrong, or the book refuses; nothing is taken in then.
    pub fn import_lines(&mut self, mut lines: impl Read + Seek) -> Result<Merged, ImportError> {
        self.wait_as(Patience::WholeBook);
        self.write(|tx| {
            // It may be run more than once.
            lines.rewind().map_err(|source| ImportError::Read { line: 1, source })?;
            Import { merge: Merge::into(tx)?, counts: Counts::default(), line: 0 }.all(&mut lines)
        })
    }
}

/// An import that is going on.
struct Import<'a, 'b> {
    merge: Merge<'a, 'b>,
    counts: Counts,
    line: u64,
}

impl Import<'_, '_> {
    fn all(mut self, lines: impl Read) -> Result<Merged, ImportError> {
        let (mut lines, mut sum, mut bytes) = (BufReader::new(lines), Sha256::new(), Vec::new());
        loop {
            self.line += 1;
            bytes.clear();
            let read = (&mut lines).take(MOST as u64 + 1).read_until(b'\n', &mut bytes);
            let line = self.line;
            read.map_err(|source| ImportError::Read { line, source })?;
            if bytes.is_empty() {
                return Err(self.wrong("the file ends before its closing line: it was cut short"));
            }
            if bytes.len() > MOST {
                return Err(self.wrong(format!("it is longer than {MOST} bytes")));
            }
            let read =
                serde_json::from_slice(&bytes).map_err(|e: serde_json::Error| self.wrong(e.to_string()))?;
            match read {
                Line::Bevelbook { version: VERSION } if self.line == 1 => {}
                Line::Bevelbook { version } if self.line == 1 => {
                    return Err(
                        self.wrong(format!("version {version} of the lines; this program reads {VERSION}"))
                    );
                }
                _ if self.line == 1 => return Err(self.wrong("not an export of a book")),
                Line::Bevelbook { .. } => return Err(self.wrong("a second first line")),
                Line::End { records, conflicts, people, sha256 } => {
                    if (Counts { records, conflicts, people }) != self.counts
                        || sha256 != hex(&sum.finalize())
                    {
                        return Err(self
                            .wrong("the lines are not those that were exported: some were lost or changed"));
                    }
                    return match lines.fill_buf() {
                        Ok([]) => Ok(self.merge.done()),
                        _ => Err(self.wrong("something stands behind the closing line")),
                    };
                }
                Line::Person { reference, name } => self.person(&reference, &name)?,
                Line::Record(row) => self.row(&row, false)?,
                Line::Conflict(row) => self.row(&row, true)?,
            }
            sum.update(&bytes);
        }
    }

    fn wrong(&self, what: impl Into<String>) -> ImportError {
        ImportError::Line { line: self.line, what: what.into() }
    }

    fn person(&mut self, reference: &str, name: &str) -> Result<(), ImportError> {
        self.counts.people += 1;
        Ok(self.merge.person(reference, name)?)
    }

    fn row(&mut self, row: &Row, conflict: bool) -> Result<(), ImportError> {
        let count = if conflict { &mut self.counts.conflicts } else { &mut self.counts.records };
        *count += 1;
        let entry = row.entry().map_err(|what| self.wrong(what))?;
        if conflict && !self.merge.has(&entry)? {
            return Err(self.wrong("a conflict, and no record that it is in conflict with"));
        }
        Ok(self.merge.entry(&entry, false)?)
    }
}

impl Row {
    fn of(entry: &Entry) -> Self {
        let Entry { position: _, id, kind, job, payload, boot, ticks, utc_ms, apart } = entry;
        Self {
            journal: format!("{:016x}", id.journal.0),
            seq: id.seq,
            kind: *kind,
            job: job.map(|job| format!("{job:016x}")),
            payload: hex(payload),
            boot: *boot,
            ticks: *ticks,
            utc_ms: *utc_ms,
            apart: apart.clone(),
        }
    }

    /// The entry, or what is wrong with the row.
    fn entry(&self) -> Result<Entry, &'static str> {
        const WRONG: &str = "a journal and a job are 16 hexadecimal digits";
        let id = RecordId { journal: JournalId(number(&self.journal).ok_or(WRONG)?), seq: self.seq };
        let job = self.job.as_deref().map(|job| number(job).ok_or(WRONG)).transpose()?;
        let payload = unhex(&self.payload).ok_or("a payload is pairs of hexadecimal digits")?;
        let (kind, boot, ticks, utc_ms) = (self.kind, self.boot, self.ticks, self.utc_ms);
        Ok(Entry { position: 0, id, kind, job, payload, boot, ticks, utc_ms, apart: self.apart.clone() })
    }
}

fn number(text: &str) -> Option<u64> {
    let bytes: [u8; 8] = unhex(text)?.try_into().ok()?;
    Some(u64::from_be_bytes(bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn unhex(text: &str) -> Option<Vec<u8>> {
    let digit = |digit: u8| char::from(digit).to_digit(16);
    let pair = |pair: &[u8]| u8::try_from(digit(*pair.first()?)? * 16 + digit(*pair.get(1)?)?).ok();
    text.as_bytes().chunks(2).map(pair).collect()
}
