//! Prose for a terminal.

const WIDTH: usize = 80;

/// Lines, as they come to be.
#[derive(Default)]
pub(crate) struct Page(Vec<String>);

impl Page {
    pub(crate) fn line(&mut self, line: impl AsRef<str>) {
        self.0.push(line.as_ref().trim_end().to_owned());
    }

    pub(crate) fn heading(&mut self, heading: &str) {
        self.line("");
        self.line(heading);
    }

    /// Text behind `lead`, broken at blanks; later lines are indented alike.
    pub(crate) fn wrapped(&mut self, lead: &str, text: &str) {
        let indent = lead.chars().count();
        let mut line = lead.to_owned();
        let mut used = indent;
        for word in text.split_whitespace() {
            let length = word.chars().count();
            if used > indent && used + 1 + length > WIDTH {
                self.line(std::mem::replace(&mut line, " ".repeat(indent)));
                used = indent;
            }
            if used > indent {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += length;
        }
        self.line(line);
    }

    pub(crate) fn text(self) -> String {
        self.0.join("\n")
    }
}
