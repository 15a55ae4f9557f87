//! An inspection for people: at most 100 columns, prose within 80.

use super::rows::{Rows, excess, label};
use crate::cli::figures;
use crate::inspection::{EyeInspection, Inspection, OpenItem, Seen, Signed};
use bevelbook_core::prescription::{Eye, EyeOrder};
use bevelbook_core::tolerance::{Finding, Holding, Judgement, Subject, Verdict};
use bevelbook_core::units::Power;
use jiff::tz::TimeZone;

const WIDTH: usize = 80;

pub(super) fn text(inspection: &Inspection) -> String {
    let mut page = Page { lines: Vec::new(), rows: Rows::default() };
    page.wrapped(
        "",
        &format!(
            "Job {}: {}, lens {} right and {} left, by {}",
            inspection.number,
            inspection.design,
            inspection.lenses[0],
            inspection.lenses[1],
            inspection.standard
        ),
    );
    page.eye(inspection, Eye::Right, "Right");
    page.eye(inspection, Eye::Left, "Left");
    page.heading("Pair");
    page.table(of(&inspection.pair, Subject::Pair));
    page.verdicts(inspection);
    page.missing(inspection);
    page.warnings(inspection);
    page.not_covered(inspection);
    page.open(inspection);
    page.limits(inspection);
    page.signed(inspection.signed.as_ref());
    page.lines.join("\n")
}

struct Page {
    lines: Vec<String>,
    rows: Rows,
}

impl Page {
    fn heading(&mut self, title: &str) {
        self.lines.extend([String::new(), title.to_owned()]);
    }

    /// Text behind `lead`, broken at blanks; later lines are indented alike.
    fn wrapped(&mut self, lead: &str, text: &str) {
        let indent = " ".repeat(lead.chars().count());
        let mut line = lead.to_owned();
        let mut empty = true;
        for word in text.split_whitespace() {
            if !empty && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.lines.push(std::mem::replace(&mut line, indent.clone()));
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.lines.push(line);
    }

    fn eye(&mut self, inspection: &Inspection, eye: Eye, title: &str) {
        let inspected = inspection.eye(eye);
        self.heading(title);
        self.lines.push(format!("  ordered  {}", order(&inspected.ordered)));
        if let Some(power) = inspected.verify {
            self.lines.push(format!("  verify   {power}, the supplier's: readings are judged by it"));
        }
        let read = inspected.mounted.map_or_else(|| "not read in the frame yet".to_owned(), seen);
        self.lines.push(format!("  read     {read}"));
        if let Some(off) = inspected.difference.filter(|off| off.blur > Power::ZERO) {
            self.lines.push(format!(
                "  off by   {}, which blurs like a sphere of {:.2} D",
                off.lens,
                figures::dioptres(off.blur)
            ));
        }
        if let Some(repeated) = inspected.repeated {
            self.wrapped(
                "  readings ",
                &format!(
                    "{} in the frame, mean {}, spread {:.2} D; the latest is judged",
                    repeated.count,
                    repeated.mean,
                    figures::dioptres(repeated.spread)
                ),
            );
        }
        self.table(of(&inspection.pair, Subject::Eye(eye)));
        self.uncut(inspected);
    }

    /// The findings of an uncut lens are shown while they matter: until it is mounted, and when it is out.
    fn uncut(&mut self, inspected: &EyeInspection) {
        let Some(uncut) = &inspected.uncut else { return };
        let verdict = uncut.judgement.verdict();
        let reasons = words(&uncut.judgement, verdict, Some(inspected.eye));
        self.wrapped("  uncut    ", &format!("{}: {reasons}", seen(uncut.seen)));
        if inspected.mounted.is_none() || verdict == Verdict::Out {
            self.table(uncut.judgement.findings().iter());
        }
    }

    fn table<'a>(&mut self, findings: impl Iterator<Item = &'a Finding>) {
        let mut findings = findings.peekable();
        if findings.peek().is_none() {
            self.lines.push("  nothing to judge yet".to_owned());
            return;
        }
        self.lines.push(Rows::head());
        for finding in findings {
            self.lines.extend(self.rows.row(finding));
        }
    }

    fn verdicts(&mut self, inspection: &Inspection) {
        self.heading("Verdict");
        for inspected in &inspection.eyes {
            let eye = inspected.eye;
            self.wrapped(&format!("  {eye:<5}  "), &words(&inspection.pair, inspected.verdict, Some(eye)));
        }
        self.wrapped("  pair   ", &words(&inspection.pair, inspection.verdict(), None));
    }

    /// What is missing, the command that supplies several things at once only behind the last of them.
    fn missing(&mut self, inspection: &Inspection) {
        if inspection.missing.is_empty() {
            return;
        }
        self.heading("Missing, and how to supply it");
        let mut gaps = inspection.missing.iter().peekable();
        while let Some(gap) = gaps.next() {
            self.wrapped("  ", &gap.lack.to_string());
            match &gap.command {
                Some(command) if gaps.peek().is_none_or(|next| next.command != gap.command) => {
                    self.lines.push(format!("    {command}"));
                }
                Some(_) => {}
                None => self.wrapped("    ", "not a thing that is recorded: measure it and decide"),
            }
        }
    }

    fn warnings(&mut self, inspection: &Inspection) {
        if inspection.warnings.is_empty() {
            return;
        }
        self.heading("Warnings");
        for warning in &inspection.warnings {
            self.wrapped("  ! ", &warning.to_string());
        }
    }

    fn not_covered(&mut self, inspection: &Inspection) {
        if inspection.not_covered.is_empty() {
            return;
        }
        self.heading("Not covered: neither passed nor failed");
        for left in &inspection.not_covered {
            self.wrapped("  - ", &left.to_string());
        }
    }

    fn open(&mut self, inspection: &Inspection) {
        if inspection.open.is_empty() {
            return;
        }
        self.heading("Not ready: open beside the optical verdict, which stands without it");
        for open in &inspection.open {
            self.wrapped("  - ", &open.to_string());
        }
        let check = |item| matches!(item, OpenItem::NotMade(_) | OpenItem::Bad(_));
        if let Some(open) = inspection.open.iter().find(|open| check(open.item)) {
            self.lines.push(format!("  when it has been seen to, for example: {}", open.command));
        }
    }

    fn limits(&mut self, inspection: &Inspection) {
        self.heading("Limits, inclusive, and where they were published");
        for (number, rule) in self.rows.rules().collect::<Vec<_>>() {
            self.wrapped(&format!("  {:<5}", format!("[{number}]")), &rule);
        }
        self.wrapped("  ", &inspection.standard.foundation());
        self.wrapped(
            "  ",
            "An aid, not a certificate. Only a licensed prescriber changes a prescription. Local law says who may \
             verify and dispense.",
        );
    }

    fn signed(&mut self, signed: Option<&Signed>) {
        let Some(Signed { sign_off, at }) = signed else { return };
        let on = at.map_or_else(
            || "at an unknown time".to_owned(),
            |at| format!("on {}", at.to_zoned_datetime(TimeZone::system()).strftime("%Y-%m-%d %H:%M")),
        );
        let despite =
            sign_off.despite.as_ref().map_or_else(String::new, |why| format!(", despite that: {why}"));
        self.lines.push(String::new());
        self.wrapped(
            "",
            &format!(
                "Signed off by {} {on}: {} by {}, table version {}{despite}",
                sign_off.by,
                loud(sign_off.verdict),
                sign_off.standard,
                sign_off.table_version
            ),
        );
    }
}

fn of(judgement: &Judgement, subject: Subject) -> impl Iterator<Item = &Finding> {
    judgement.findings().iter().filter(move |finding| finding.subject == subject)
}

fn order(order: &EyeOrder) -> String {
    seen(Seen { power: order.power, prism: (!order.prism.is_none()).then_some(order.prism), add: order.add })
}

fn seen(seen: Seen) -> String {
    let prism = seen.prism.map_or_else(String::new, |prism| format!(", prism {prism}"));
    let add = seen.add.map_or_else(String::new, |add| format!(", add {add}"));
    format!("{}{prism}{add}", seen.power)
}

fn loud(verdict: Verdict) -> String {
    match verdict {
        Verdict::Out => "OUT".to_owned(),
        verdict => verdict.to_string(),
    }
}

/// A verdict with its reasons: those of one eye, or all of them.
fn words(judgement: &Judgement, verdict: Verdict, of: Option<Eye>) -> String {
    let meant = |finding: &&Finding| of.is_none_or(|eye| finding.subject == Subject::Eye(eye));
    let findings = || judgement.findings().iter().filter(meant);
    let out = findings().filter(|finding| !finding.is_within()).map(|finding| {
        let whose = match (finding.subject, of) {
            (Subject::Eye(eye), None) => format!("{eye} "),
            _ => String::new(),
        };
        format!("{whose}{} by {}", label(finding.quantity), excess(finding))
    });
    let reasons = match verdict {
        Verdict::Out => format!(": {}", out.collect::<Vec<_>>().join(", ")),
        Verdict::NotJudged => ": something needed is missing".to_owned(),
        Verdict::Within => String::new(),
    };
    let at_limit: Vec<&str> = findings()
        .filter(|finding| finding.holding() == Holding::AtLimit)
        .map(|finding| label(finding.quantity))
        .collect();
    let near =
        if at_limit.is_empty() { String::new() } else { format!(", at the limit: {}", at_limit.join(", ")) };
    let unconfirmed = findings().filter(|finding| !finding.cited.confirmed).count();
    let doubt = match unconfirmed {
        0 => String::new(),
        1 => " (unconfirmed: 1 limit is from memory)".to_owned(),
        many => format!(" (unconfirmed: {many} limits are from memory)"),
    };
    format!("{}{reasons}{near}{doubt}", loud(verdict))
}
