//! Prose for a terminal.

use bevelbook_core::link::plain;

const WIDTH: usize = 80;

/// Words behind `lead` in lines of at most `width` characters; those after the first are set in by `indent`.
pub(crate) fn wrapped<'w>(
    lead: &str,
    words: impl Iterator<Item = &'w str>,
    indent: usize,
    width: usize,
) -> Vec<String> {
    let (mut lines, mut line, mut space) = (Vec::new(), lead.to_owned(), "");
    for word in words {
        if !space.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            lines.push(std::mem::replace(&mut line, " ".repeat(indent)));
            space = "";
        }
        line = line + space + word;
        space = " ";
    }
    lines.push(line);
    lines
}

/// Lines, as they come to be.
#[derive(Default)]
pub(crate) struct Page(Vec<String>);

impl Page {
    pub(crate) fn line(&mut self, line: impl AsRef<str>) {
        let line: String = plain(line.as_ref()).collect();
        self.0.push(line.trim_end().to_owned());
    }

    pub(crate) fn heading(&mut self, heading: &str) {
        self.line("");
        self.line(heading);
    }

    /// Text behind `lead`, broken at blanks; later lines are indented alike.
    pub(crate) fn wrapped(&mut self, lead: &str, text: &str) {
        let indent = lead.chars().count();
        for line in wrapped(lead, text.split_whitespace(), indent, WIDTH) {
            self.line(line);
        }
    }

    /// Short things side by side, as many on a line as there is room for.
    pub(crate) fn flowed(&mut self, things: impl Iterator<Item = String>) {
        const APART: &str = "   ";
        let mut lines: Vec<String> = Vec::new();
        for thing in things {
            let room =
                |line: &&mut String| line.chars().count() + APART.len() + thing.chars().count() <= WIDTH;
            match lines.last_mut().filter(room) {
                Some(line) => *line += &format!("{APART}{thing}"),
                None => lines.push(thing),
            }
        }
        for line in lines {
            if line.chars().count() > WIDTH { self.wrapped("", &line) } else { self.line(line) }
        }
    }

    /// Without its blank lines where it has more than `lines` with them.
    pub(crate) fn within(mut self, lines: usize) -> Self {
        if self.0.len() > lines {
            self.0.retain(|line| !line.is_empty());
        }
        self
    }

    pub(crate) fn text(self) -> String {
        self.0.join("\n")
    }
}
