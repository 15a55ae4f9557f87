//! Situations of a job, built through the book.

use super::{Inspection, Kind, Remark};
use crate::desk::{Order, sample};
use crate::settings::{Settings, Tolerances};
use crate::work::{PassEntry, Work, WorkError};
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::{
    self, Bench, CentreDistance, Check, CheckItem, Entered, JobId, Read, Reading, Stage, StationEvent,
};
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome};
use bevelbook_core::tolerance::{Design, Quantity, Slip, Subject, Verdict};
use bevelbook_core::units::{Length, Notation, Power, PrismPair};
use tempfile::TempDir;

fn ansi() -> Tolerances {
    Settings::defaults().unwrap().tolerances().unwrap()
}

const RIGHT: Subject = Subject::Eye(Eye::Right);
const LEFT: Subject = Subject::Eye(Eye::Left);

fn kinds(remarks: &[Remark]) -> Vec<(Subject, Kind)> {
    remarks.iter().map(|remark| (remark.subject, remark.kind)).collect()
}

/// A job in a book of its own.
struct Shop {
    work: Work,
    id: JobId,
    _folder: TempDir,
}

impl Shop {
    fn new(order: Order) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut work = Work::open(folder.path().join("book.db"), Settings::defaults().unwrap()).unwrap();
        let dial =
            Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
        work.log_station(StationEvent::Dial(dial)).unwrap();
        let id = work.open_job(order, None).unwrap().0.id;
        Self { work, id, _folder: folder }
    }

    fn fit(&mut self, eye: Eye, outcome: Outcome) -> &mut Self {
        let entry = PassEntry { eye, amount: Length::from_milli(200), outcome, insist: false };
        self.work.log_pass(self.id, &entry).unwrap();
        self
    }

    fn read(&mut self, eye: Eye, stage: Stage, power: &str) -> &mut Self {
        self.read_all(eye, stage, power, Some("0"), None)
    }

    fn read_all(
        &mut self,
        eye: Eye,
        stage: Stage,
        power: &str,
        prism: Option<&str>,
        add: Option<i32>,
    ) -> &mut Self {
        let read = Read::Direct(SphereCylinder::parse(power, Notation::Reading).unwrap());
        let prism = prism.map(|text| PrismPair::parse(text).unwrap());
        let add = add.map(Power::from_milli);
        let fact = |lens| Bench::Reading(Reading { entered: Entered::READ, lens, stage, read, prism, add });
        self.work.log_lens(self.id, eye, fact).unwrap();
        self
    }

    fn centres(&mut self, pd: &str, heights: Option<[i32; 2]>) -> &mut Self {
        let centres = PupillaryDistance::parse(pd).unwrap();
        let heights = heights.map(|heights| heights.map(Length::from_milli));
        let fact =
            |pair| Bench::CentreDistance(CentreDistance { entered: Entered::READ, pair, centres, heights });
        self.work.log_pair(self.id, fact).unwrap();
        self
    }

    fn check(&mut self, eye: Option<Eye>, item: CheckItem, good: bool) -> &mut Self {
        let check = |of| Bench::Check(Check { entered: Entered::READ, of, item, good });
        let logged = match eye {
            Some(eye) => self.work.log_lens(self.id, eye, |lens| check(record::Subject::Lens(lens))).is_ok(),
            None => self.work.log_pair(self.id, |pair| check(record::Subject::Pair(pair))).is_ok(),
        };
        assert!(logged, "{item}");
        self
    }

    fn checked(&mut self) -> &mut Self {
        for eye in Eye::BOTH {
            for item in CheckItem::FINISH.into_iter().chain([CheckItem::ImpactSample]) {
                self.check(Some(eye), item, true);
            }
        }
        self.check(None, CheckItem::Alignment, true)
    }

    fn inspect(&self) -> Inspection {
        Inspection::of(&self.work.job(self.id).unwrap(), &ansi())
    }
}

/// The sample order, read as ordered throughout.
fn good_pair() -> Shop {
    pair_reading(["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"], ["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"])
}

/// The sample order with uncut and mounted readings, right and left.
fn pair_reading(uncut: [&str; 2], mounted: [&str; 2]) -> Shop {
    let mut job = Shop::new(sample());
    for eye in Eye::BOTH {
        job.read(eye, Stage::Uncut, uncut[eye.index()]).fit(eye, Outcome::Fits);
        job.read(eye, Stage::Mounted, mounted[eye.index()]);
    }
    job.centres("31.5/31", None).checked();
    job
}

#[test]
fn a_good_pair_is_within_with_nothing_to_say_against_it() {
    let found = good_pair().inspect();
    assert_eq!(found.verdict(), Verdict::Within);
    assert_eq!(found.eyes.each_ref().map(|eye| eye.verdict), [Verdict::Within; 2]);
    assert_eq!(
        found.eyes.each_ref().map(|eye| eye.uncut.as_ref().unwrap().judgement.verdict()),
        [Verdict::Within; 2]
    );
    assert!(found.missing.is_empty() && found.warnings.is_empty() && found.open.is_empty(), "{found:?}");
}

#[test]
fn a_job_with_nothing_read_is_not_judged_and_says_what_to_type() {
    let found = Shop::new(sample()).inspect();
    assert_eq!(found.verdict(), Verdict::NotJudged);
    let lacks: Vec<_> = found.missing.iter().map(|gap| (gap.kind, gap.text.clone())).collect();
    let of = |eye| {
        [format!("power of the {eye} lens, in the frame"), format!("prism at the PD mark of the {eye} lens")]
    };
    let expected = [of(Eye::Right).to_vec(), of(Eye::Left).to_vec(), vec!["PD of the pair".into()]].concat();
    assert_eq!(lacks, expected.into_iter().map(|text| (Kind::Mounted, text)).collect::<Vec<_>>());
    let command = found.missing[0].command.as_deref().unwrap();
    assert_eq!(
        command,
        "bevelbook record reading 1 right --stage mounted --first … --second … --axis … --prism …"
    );
    assert_eq!(found.missing[4].command.as_deref(), Some("bevelbook record pd 1 …/…"));
    assert!(found.warnings.is_empty());
}

#[test]
fn a_command_repeats_what_was_read_already() {
    let mut job = Shop::new(sample());
    job.read_all(Eye::Left, Stage::Mounted, "-1.50 -0.50 x 171", None, None);
    let found = job.inspect();
    let gap = found.missing.iter().find(|gap| gap.text == "prism at the PD mark of the left lens").unwrap();
    let expected = "bevelbook record reading 1 left --stage mounted --direct \"-1.50 -0.50 x 171\" --prism …";
    assert_eq!(gap.command.as_deref(), Some(expected));
}

#[test]
fn an_uncut_lens_is_judged_beside_the_pair_and_not_instead() {
    let mut job = Shop::new(sample());
    job.read(Eye::Right, Stage::Uncut, "-1.50 -0.75 x 15");
    job.read_all(Eye::Left, Stage::Uncut, "-1.50 -0.50 x 170", None, None);
    let found = job.inspect();
    let uncut = |eye| found.eye(eye).uncut.as_ref().unwrap().judgement.verdict();
    assert_eq!(Eye::BOTH.map(uncut), [Verdict::Out, Verdict::NotJudged]);
    assert_eq!(found.verdict(), Verdict::NotJudged);
    let gap = found.missing.iter().find(|gap| gap.uncut).unwrap();
    assert_eq!(gap.text, "prism at the reference point of the left lens");
    assert!(gap.command.as_deref().unwrap().contains("left --stage uncut --direct"), "{gap:?}");
}

#[test]
fn plus_form_is_judged_as_the_same_lens() {
    let order = Order {
        right: EyeOrder::parse("-2.00 +0.75 x 105").unwrap(),
        left: EyeOrder::parse("-2.00 +0.50 x 80").unwrap(),
        ..sample()
    };
    let mut job = Shop::new(order);
    for (eye, read) in Eye::BOTH.into_iter().zip(["-2.00 +0.75 x 106", "-2.00 +0.50 x 81"]) {
        job.fit(eye, Outcome::Fits).read(eye, Stage::Mounted, read);
    }
    let plus = job.centres("31.5/31", None).inspect();
    let minus =
        pair_reading(["-1.25 -0.75 x 16", "-1.50 -0.50 x 171"], ["-1.25 -0.75 x 16", "-1.50 -0.50 x 171"]);
    assert_eq!(plus.pair, minus.inspect().pair);
    assert_eq!(plus.verdict(), Verdict::Within);
    assert_eq!(plus.eye(Eye::Right).ordered.power.to_string(), "-1.25 -0.75 x 15");
}

#[test]
fn a_multifocal_order_without_heights_is_not_judged() {
    let eyes = EyeOrder::parse("-1.00 add +2.00").unwrap();
    let mut order = Order { right: eyes, left: eyes, ..sample() };
    order.lens.design = Design::Multifocal;
    for (heights, expected) in
        [(None, Verdict::NotJudged), (Some([18_000; 2].map(Length::from_milli)), Verdict::Within)]
    {
        let mut job = Shop::new(Order { heights, ..order.clone() });
        for eye in Eye::BOTH {
            job.fit(eye, Outcome::Fits).read_all(eye, Stage::Mounted, "-1.00 DS", Some("0"), Some(2000));
        }
        let found = job.centres("31.5/31", Some([18_000; 2])).inspect();
        assert_eq!(found.verdict(), expected);
        assert_eq!(found.eye(Eye::Left).verdict, expected);
        assert_eq!(found.missing.iter().any(|gap| gap.kind == Kind::Order), heights.is_none());
    }
}

#[test]
fn a_lens_that_turned_on_its_pad_is_warned_of_once() {
    let found =
        pair_reading(["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"], ["-1.25 -0.75 x 22", "-1.50 -0.50 x 170"])
            .inspect();
    assert_eq!(kinds(&found.warnings), [(RIGHT, Kind::Turned)]);
    assert!(found.warnings[0].text.contains("axis 15 uncut and 22 mounted, +7° apart"), "{found:?}");
    assert_eq!((found.verdict(), found.eye(Eye::Left).verdict), (Verdict::Out, Verdict::Within));
    // Across 180 the turn is small.
    let left = EyeOrder::parse("-1.50 -0.50 x 180").unwrap();
    let mut job = Shop::new(Order { left, ..sample() });
    job.read(Eye::Left, Stage::Uncut, "-1.50 -0.50 x 177").fit(Eye::Left, Outcome::Fits);
    job.read(Eye::Left, Stage::Mounted, "-1.50 -0.50 x 3");
    assert_eq!(job.inspect().warnings, []);
}

#[test]
fn another_power_than_uncut_is_warned_of() {
    // Each is within by itself: 0.13 D to one side, then to the other.
    let found =
        pair_reading(["-1.12 -0.75 x 15", "-1.50 -0.50 x 170"], ["-1.38 -0.75 x 15", "-1.50 -0.50 x 170"])
            .inspect();
    assert_eq!(kinds(&found.warnings), [(RIGHT, Kind::Differ)]);
    assert_eq!(found.verdict(), Verdict::Within);
}

#[test]
fn lenses_swapped_between_the_eyes_are_known() {
    let uncut = ["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"];
    let found = pair_reading(uncut, [uncut[1], uncut[0]]).inspect();
    let expected = [(RIGHT, Kind::Slip), (LEFT, Kind::Slip), (Subject::Pair, Kind::Swapped)];
    assert_eq!(kinds(&found.warnings), expected);
    assert_eq!(found.warnings[0].text, format!("right lens, mounted reading: {}", Slip::OtherEye));
}

#[test]
fn a_slip_in_both_readings_is_said_once() {
    let read = ["-1.25 -0.75 x 165", "-1.50 -0.50 x 170"];
    let found = pair_reading(read, read).inspect();
    assert_eq!(kinds(&found.warnings), [(RIGHT, Kind::Slip)]);
    assert!(found.warnings[0].text.contains("uncut and mounted reading"), "{found:?}");
}

#[test]
fn a_reading_in_the_frame_needs_a_lens_that_fits() {
    let mut job = good_pair();
    job.check(Some(Eye::Left), CheckItem::Strain, false);
    let found = job.inspect();
    assert_eq!((kinds(&found.missing), found.verdict()), (vec![(LEFT, Kind::NotFitted)], Verdict::NotJudged));
    assert!(found.missing[0].text.contains("its last pass says a touch too big"), "{found:?}");
    assert_eq!(kinds(&found.open), [(LEFT, Kind::Bad)]);
    let mut job = Shop::new(sample());
    job.read(Eye::Right, Stage::Mounted, "-1.25 -0.75 x 15");
    let none = "right lens: read in the frame, but no pass that fits was logged";
    assert_eq!(job.inspect().warnings, [Remark::of(RIGHT, Kind::NotFitted, none)]);
}

#[test]
fn checks_leave_the_verdict_alone_and_are_listed() {
    let mut job = Shop::new(sample());
    for (eye, read) in Eye::BOTH.into_iter().zip(["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"]) {
        job.fit(eye, Outcome::Fits).read(eye, Stage::Mounted, read);
    }
    let found = job.inspect();
    assert_eq!(found.verdict(), Verdict::Within);
    // Four checks and the impact of each lens, the alignment, and the PD that the standard did without.
    assert_eq!(found.open.len(), 12);
    assert_eq!(found.open[11].kind, Kind::Centres);
    assert!(found.open.iter().any(|open| open.kind == Kind::Impact));
    assert_eq!(found.open[0].command.as_deref(), Some("bevelbook record check 1 bevel right"));
    // A bad item is open whether or not every lens needs it.
    job.checked().check(Some(Eye::Left), CheckItem::Slip, false);
    let open = job.inspect().open;
    assert_eq!(kinds(&open), [(LEFT, Kind::Bad), (Subject::Pair, Kind::Centres)]);
    assert_eq!(open[0].text, format!("left lens: {}: BAD", CheckItem::Slip));
}

#[test]
fn a_sign_off_stands_until_something_is_written() {
    let mut job = good_pair();
    let signed =
        job.work.sign_off(job.id, |job| Ok(Inspection::of(job, &ansi()).sign_off(" EM ", None))).unwrap();
    assert_eq!((signed.by.as_str(), signed.verdict, signed.lenses), ("EM", Verdict::Within, [1, 1]));
    let found = job.inspect().signed.unwrap();
    assert_eq!(found.sign_off, signed);
    assert!(found.at.is_some());
    job.work.note(job.id, "polished").unwrap();
    assert!(job.inspect().signed.is_some());
    job.check(None, CheckItem::Alignment, true);
    assert_eq!(job.inspect().signed, None);
}

#[test]
fn what_is_not_within_is_signed_only_with_a_reason() {
    let mut job = Shop::new(sample());
    let mut sign =
        |despite| job.work.sign_off(job.id, |job| Ok(Inspection::of(job, &ansi()).sign_off("EM", despite)));
    for nothing in [None, Some("  ")] {
        assert!(matches!(sign(nothing), Err(WorkError::NotWithin { .. })));
    }
    assert_eq!(sign(Some("agreed")).unwrap().despite.as_deref(), Some("agreed"));
}

#[test]
fn a_wide_prism_of_an_uncut_lens_has_no_record_for_its_place() {
    let mut job = Shop::new(sample());
    job.read_all(Eye::Right, Stage::Uncut, "-1.25 -0.75 x 15", Some("0.5 up"), None);
    let found = job.inspect();
    let gap = &found.missing[0];
    assert!(gap.uncut && gap.text.starts_with("place of the reference point of the right lens"), "{gap:?}");
    assert_eq!(gap.command, None);
    let uncut = found.eye(Eye::Right).uncut.as_ref().unwrap();
    assert!(uncut.judgement.findings().iter().all(|finding| finding.quantity != Quantity::ReferencePlace));
}
