//! What happened, as a number that two runs of one seed share, and in words where somebody reads along.

/// The trace of one run.
#[derive(Debug)]
pub(crate) struct Trace {
    hash: u64,
    lines: Option<Vec<String>>,
}

impl Trace {
    pub(crate) const fn new(in_words: bool) -> Self {
        Self { hash: 0xcbf2_9ce4_8422_2325, lines: if in_words { Some(Vec::new()) } else { None } }
    }

    /// Something happened at `now_ms`, told by its numbers; `words` are asked for only where somebody reads them.
    pub(crate) fn note(&mut self, now_ms: u64, numbers: &[u64], words: impl FnOnce() -> String) {
        for number in [now_ms].iter().chain(numbers) {
            // As FNV-1a, by words.
            self.hash = (self.hash ^ number).wrapping_mul(0x0100_0000_01b3).rotate_left(23);
        }
        if let Some(lines) = &mut self.lines {
            lines.push(format!("{:>9.3} s  {}", now_ms as f64 / 1000.0, words()));
        }
    }

    pub(crate) const fn hash(&self) -> u64 {
        self.hash
    }

    pub(crate) fn into_lines(self) -> Vec<String> {
        self.lines.unwrap_or_default()
    }
}
