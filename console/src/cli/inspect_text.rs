//! An inspection in words: 80 columns wide, with `--sources` at most 100.

use super::page::Page;
use crate::inspection::{Kind, Remark};
use crate::view::inspection::{FindingView, InspectionView};
use crate::view::minute;

pub(super) fn text(view: &InspectionView, with_sources: bool) -> String {
    let mut page = Page::default();
    page.wrapped("", &view.heading);
    out(&mut page, view);
    look(&mut page, view);
    read(&mut page, view);
    not_checked(&mut page, view);
    waits_for(&mut page, &view.missing);
    to_do(&mut page, view);
    if with_sources {
        sources(&mut page, view);
    }
    if let Some(signed) = &view.signed {
        let on = signed.at.map_or("at an unknown time".into(), |at| format!("on {}", minute(at)));
        page.line("");
        page.wrapped("Signed off by ", &format!("{} {on}: {}", signed.by, signed.said));
    }
    page.heading("Verdict (an aid, not a certificate)");
    for eye in view.eyes() {
        page.wrapped(&format!("  {:<7}", eye.name), &eye.said);
    }
    page.wrapped("  pair   ", &view.said);
    page.text()
}

/// What was judged of the mounted pair, and of the lenses before they were blocked where that matters, with the latter told
/// apart.
fn judged(view: &InspectionView) -> impl Iterator<Item = (bool, &FindingView)> {
    let uncut = view.eyes().into_iter().filter_map(|eye| eye.uncut.as_ref()).filter(|uncut| uncut.matters);
    let uncut = uncut.flat_map(|uncut| uncut.findings.iter().map(|finding| (true, finding)));
    view.findings.iter().map(|finding| (false, finding)).chain(uncut)
}

fn out(page: &mut Page, view: &InspectionView) {
    rows(page, "OUT", judged(view).filter(|(_, finding)| !finding.within));
}

/// What is likely a mistake, bad, unusual or just at its limit.
fn look(page: &mut Page, view: &InspectionView) {
    list(page, "Look", "  ! ", view.look().into_iter());
    rows(page, "At the limit", judged(view).filter(|(_, finding)| finding.at_limit));
}

fn rows<'v>(page: &mut Page, heading: &str, findings: impl Iterator<Item = (bool, &'v FindingView)>) {
    let mut findings = findings.peekable();
    if findings.peek().is_some() {
        page.heading(&format!("{heading:<30}{:>8}{:>8}", "ordered", "read"));
    }
    for (uncut, finding) in findings {
        let [ordered, read, ..] = finding.figures;
        let whose = format!("{}{}", stage(uncut), finding.whose());
        let (off, held) = (finding.off(), finding.held());
        page.line(format!("  {whose:<28}{ordered:>8}{read:>8}  {off}: {held}"));
        for note in &finding.notes {
            page.wrapped("    ", note);
        }
    }
}

/// What is ordered and read, and in the fewest words what of it is within.
fn read(page: &mut Page, view: &InspectionView) {
    page.heading("Ordered and read");
    let within = |subject: &str, uncut: bool| {
        let of = |(of_uncut, finding): &(bool, &FindingView)| {
            finding.subject == subject && *of_uncut == uncut && finding.within && !finding.at_limit
        };
        let brief: Vec<String> = judged(view).filter(of).map(|(_, finding)| finding.brief()).collect();
        brief.join(", ")
    };
    let mut said = |whose: &mut &str, name: &str, words: &str| {
        if !words.is_empty() {
            page.wrapped(&format!("  {:<7}{name:<12}", std::mem::take(whose)), words);
        }
    };
    for eye in view.eyes() {
        let whose = &mut eye.name.as_str();
        for (name, words) in eye.facts() {
            said(whose, name, &words);
        }
        said(whose, "within", &within(&eye.name, false));
        if let Some(uncut) = &eye.uncut {
            said(whose, "uncut", &uncut.said);
            said(whose, "", &within(&eye.name, true));
        }
    }
    let whose = &mut "pair";
    said(whose, "", view.thinning.as_ref().map_or("", |thinning| &thinning.words));
    said(whose, "within", &within("pair", false));
    if judged(view).any(|(_, finding)| !finding.confirmed) {
        page.line("  * unconfirmed: this limit was not seen in public text");
    }
}

fn not_checked(page: &mut Page, view: &InspectionView) {
    let words = view.not_checked().join("; ");
    list(page, "Not checked", "  ", (!words.is_empty()).then_some(words).into_iter());
}

const fn stage(uncut: bool) -> &'static str {
    if uncut { "uncut " } else { "" }
}

/// What the verdict waits for; the command that supplies several things at once stands behind the last of them.
fn waits_for(page: &mut Page, gaps: &[Remark]) {
    if !gaps.is_empty() {
        page.heading("The verdict waits for");
    }
    for gaps in gaps.chunk_by(|one, next| one.command == next.command) {
        let words: Vec<&str> = gaps.iter().map(|gap| &*gap.text).collect();
        page.wrapped("  ", &words.join("; "));
        let command = gaps.first().and_then(|gap| gap.command.as_deref());
        page.line(format!("    {}", command.unwrap_or("no record supplies it: measure it and decide")));
    }
}

/// What was not looked at beside the optics, once where it is the same of both lenses.
fn to_do(page: &mut Page, view: &InspectionView) {
    let open = &view.open;
    if !open.is_empty() {
        page.heading("Still to do, beside the verdict on the optics");
    }
    for (whose, words) in view.to_do() {
        page.wrapped(&format!("  {whose:<7}"), &words);
    }
    let check = open.iter().find(|open| [Kind::NotMade, Kind::Bad].contains(&open.kind));
    if let Some(command) = check.and_then(|open| open.command.as_ref()) {
        page.line(format!("  each when it was seen to, for example: {command}"));
    }
}

/// Every figure, and where its limit was published.
fn sources(page: &mut Page, view: &InspectionView) {
    for (name, subject) in [("Right", "right"), ("Left", "left"), ("Pair", "pair")] {
        page.heading(&format!(
            "{name:<27}{:>8}{:>8}{:>8}{:>8}{:>8}",
            "ordered", "read", "off", "limit", "margin"
        ));
        for (uncut, finding) in judged(view).filter(|(_, finding)| finding.subject == subject) {
            let ([ordered, read, off, limit, margin], held) = (finding.figures, finding.held());
            let (what, number) =
                (format!("{}{}", stage(uncut), finding.label), format!("[{}]", finding.number));
            page.line(format!(
                "  {what:<25}{ordered:>8}{read:>8}{off:>8}{limit:>8}{margin:>8}{number:>5} {held}"
            ));
            for note in &finding.notes {
                page.line(format!("    {note}"));
            }
        }
        for eye in view.eyes().into_iter().filter(|eye| eye.name == subject) {
            for (name, words) in eye.detail() {
                page.wrapped(&format!("  {name:<9}"), &words);
            }
        }
    }
    let told = view.not_covered.iter().take(view.not_covered.len() - view.unlimited.len());
    list(page, "Told and not judged", "  ", told.map(|told| told.text.clone()));
    page.heading("Limits, inclusive, and where they were published");
    for (number, (rule, source)) in (1..).zip(&view.rules) {
        page.wrapped(&format!("  {:<5}", format!("[{number}]")), &format!("{rule} ({source})"));
    }
    page.wrapped("  ", &view.foundation);
    page.wrapped(
        "  ",
        "Only a licensed prescriber changes a prescription. Local law says who may verify and dispense.",
    );
}

fn list(page: &mut Page, heading: &str, lead: &str, items: impl Iterator<Item = String>) {
    let mut items = items.peekable();
    if items.peek().is_some() {
        page.heading(heading);
    }
    for item in items {
        page.wrapped(lead, &item);
    }
}
