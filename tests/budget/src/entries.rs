//! Every entry point: what is not generic by its address, the rest by a call. Prescriptions as text are none: those are
//! typed at a console.

use bevelbook_core::frame::{self, Decentration, FrameSize, Outline, Point, PupillaryDistance};
use bevelbook_core::lens::{self, BevelFit, Groove, Lens, LensForm, Place, Volume};
use bevelbook_core::link::{
    Card, CardJoiner, CardKept, Decoder, Frame, KeypadSession, KeypadStore, Message, RecordRun, Station,
    StoreError, payload::HeldCard,
};
use bevelbook_core::maths;
use bevelbook_core::prescription::{
    self, EyeOrder, ObliquePrism, PowerVector, RepeatedReadings, SpectacleMagnification, SphereCylinder,
    ThickLens,
};
use bevelbook_core::record::{
    Bench, JobId, JobState, JournalId, Ledger, LensId, Logged, Notes, Pass, RecordId, StationId, Stored, Told,
};
use bevelbook_core::sizing::{Dial, Habit, Size, Sizing};
use bevelbook_core::tolerance::{
    self, Design, EyeReading, Finding, Fitting, Judgement, Limits, PairMeasured, PairOrder, RuleWords,
    Standard,
};
use bevelbook_core::units::{Angle, Axis, Length, Power, PrismPair, RefractiveIndex};
use core::fmt::{self, Write};
use core::hint::black_box;

/// The address of a function.
#[repr(transparent)]
pub struct Entry(*const ());

// SAFETY: an address of code, read by nobody.
unsafe impl Sync for Entry {}

macro_rules! entries {
    ($($function:path),* $(,)?) => { &[$(Entry($function as *const ())),*] };
}

pub static ENTRIES: &[Entry] = entries![
    maths::sin_cos,
    maths::atan2,
    maths::half_atan2,
    maths::sqrt_nearest,
    maths::sqrt_up,
    Power::parse,
    Length::parse,
    RefractiveIndex::parse,
    PrismPair::parse,
    SphereCylinder::transposed,
    SphereCylinder::meridian,
    SphereCylinder::horizontal_and_vertical,
    SphereCylinder::moved_toward_eye,
    SphereCylinder::prism_at,
    SphereCylinder::point_for,
    SphereCylinder::tilted,
    PowerVector::minus_cylinder,
    PowerVector::plus_cylinder,
    PowerVector::strength,
    RepeatedReadings::of,
    RepeatedReadings::spread,
    SpectacleMagnification::of,
    ThickLens::back_vertex,
    ThickLens::front_vertex,
    ObliquePrism::combine,
    ObliquePrism::split,
    prescription::back_surface,
    prescription::blur_strength,
    prescription::from_lines,
    prescription::prism_imbalance,
    prescription::residual,
    PupillaryDistance::parse,
    FrameSize::frame_pd,
    Decentration::of,
    Decentration::distance,
    Outline::new,
    Outline::made,
    Outline::mirror,
    Outline::girth,
    Outline::girth_with_ring,
    Outline::area,
    Outline::boxed,
    Outline::reach,
    Outline::low_corners,
    Outline::least_blank,
    Outline::cover,
    Outline::largest_decentration,
    Outline::optical_centre,
    Outline::tightest_bend,
    Outline::offset,
    frame::least_blank,
    frame::stocked_blank,
    frame::segment_drop,
    frame::segment_inset,
    lens::radius,
    lens::surface_power,
    lens::power_from_clock,
    lens::sagitta,
    lens::sagitta_of,
    lens::material,
    LensForm::lens,
    LensForm::centre_for_edge,
    Lens::thickness,
    BevelFit::of,
    Groove::lips,
    Groove::warnings,
    Volume::mass,
    Dial::dial,
    Dial::up,
    Dial::leaving,
    Size::on,
    Size::compare,
    Sizing::apply,
    Sizing::reopen,
    Sizing::guard,
    Habit::advised,
    JobState::new,
    JobState::apply,
    JobState::next,
    JobState::outstanding,
    Bench::encode,
    Bench::decode,
    Card::encode,
    Card::decode,
    CardJoiner::take,
    Decoder::push,
    Frame::encode,
    Message::decode,
    Message::to_wire,
    RecordRun::push,
    KeypadSession::new,
    KeypadSession::feed::<NoStore>,
    KeypadSession::poll_transmit::<NoStore>,
    KeypadSession::next_deadline::<NoStore>,
    KeypadSession::utc_ms,
    tolerance::deviation,
    Judgement::verdict,
    Judgement::verdict_of,
    Judgement::and,
    holding,
    judge_pair,
    judge_uncut,
    judge_made,
    limits,
    Limits::eye,
    Limits::prism,
    Limits::centres,
    Limits::pair,
    Limits::slips,
    words,
];

fn judge_pair(by: Standard, design: Design, order: &PairOrder, measured: &PairMeasured) -> Judgement {
    tolerance::judge_pair(by, design, order, measured)
}

fn judge_uncut(by: Standard, design: Design, order: &EyeOrder, read: &EyeReading) -> Judgement {
    tolerance::judge_eye(by, design, tolerance::Stage::Uncut, prescription::Eye::Right, order, read)
}

fn judge_made(by: Standard, design: Design, fitting: &Fitting) -> Judgement {
    tolerance::judge_fitting(by, design, fitting)
}

fn holding(found: &Finding) -> tolerance::Holding {
    found.holding()
}

fn limits(by: Standard, design: Design, ordered: &PairOrder) -> Limits {
    Limits::of(by, design, ordered)
}

/// A line that forgets: writing to it takes in how things are shown.
struct Line;

impl Write for Line {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        black_box(text);
        Ok(())
    }
}

/// What a keypad shows.
fn words(
    values: &(Power, Length, Axis, Angle, PrismPair, SphereCylinder, EyeOrder, PupillaryDistance),
    found: &(Finding, RuleWords, Standard, tolerance::NotCovered, tolerance::Missing, tolerance::Slip, Pass),
) -> fmt::Result {
    let (power, length, axis, angle, prism, lens, order, pd) = values;
    write!(Line, "{power}{length}{}{axis}{angle}{prism}{lens}{order}{pd}", length.fine())?;
    let (finding, rule, standard, left, missing, slip, pass) = found;
    write!(Line, "{}{}{}{}", finding.subject, finding.quantity, finding.limit, finding.basis)?;
    write!(Line, "{rule}{standard}{left}{missing}{slip}{}{}", pass.outcome, pass.dialled)
}

/// What takes any iterator or closure, by a call with a keypad's.
pub fn generic() {
    let lens = black_box(SphereCylinder::PLANO);
    let _ = black_box(prescription::combine([lens, lens, lens]));
    let mut points = black_box([Point::ORIGIN; 36]);
    let radii = black_box([Length::from_milli(25_000); 36]);
    if let Ok(outline) = Outline::from_radii(radii, &mut points) {
        let places = || outline.points().iter().map(|point| Place::new(point.x(), point.y()));
        if let Some(body) = black_box(None::<Lens>) {
            let _ = black_box(body.extremes(places()));
            let _ = black_box(body.volume(places()));
        }
    }
    let records = || black_box(&[] as &[Logged]).iter().copied().map(Told::from);
    let ledger = Ledger::over(records(), NoNotes);
    black_box(ledger.job(black_box(JobId(0)), records()));
    if let Some(lens) = black_box(None::<LensId>) {
        black_box(ledger.lens(lens, records()));
    }
    black_box(ledger.dial(StationId::FIRST, records()));
}

/// Nothing in mind: a board brings its own.
struct NoNotes;

impl Notes for NoNotes {
    fn note_void(&mut self, target: RecordId) {
        black_box(target);
    }

    fn is_void(&self, _: RecordId) -> bool {
        black_box(false)
    }

    fn note_filing(&mut self, _: JobId, _: JobId) {}

    fn filed_under(&self, _: JobId) -> Option<JobId> {
        None
    }
}

/// A memory with nothing in it: a board brings its own.
struct NoStore;

impl KeypadStore for NoStore {
    fn journal(&self) -> JournalId {
        black_box(JournalId(0))
    }

    fn boot(&self) -> u32 {
        black_box(0)
    }

    fn oldest(&self) -> u32 {
        black_box(1)
    }

    fn next(&self) -> u32 {
        black_box(1)
    }

    fn acknowledged(&self) -> u32 {
        black_box(0)
    }

    fn read(&mut self, _: u32) -> Result<Option<Stored>, StoreError> {
        black_box(Ok(None))
    }

    fn acknowledge(&mut self, _: u32) -> Result<(), StoreError> {
        black_box(Ok(()))
    }

    fn station(&self) -> u32 {
        black_box(0)
    }

    fn store_station(&mut self, _: &Station) -> Result<(), StoreError> {
        black_box(Ok(()))
    }

    fn card_slots(&self) -> u8 {
        black_box(8)
    }

    fn held(&mut self, _: u8) -> Option<HeldCard> {
        black_box(None)
    }

    fn store_card(&mut self, _: CardKept, encoded: &[u8]) -> Result<(), StoreError> {
        black_box(encoded);
        black_box(Ok(()))
    }

    fn drop_card(&mut self, _: JobId) -> Result<(), StoreError> {
        black_box(Ok(()))
    }
}
