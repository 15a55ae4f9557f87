//! One lens: where it fitted, and what was believed of it before it was cut.

use crate::advice::{Learned, on};
use crate::belief::{End, Foreseen, Tried};
use crate::view::cells::{Cell, Cells};
use crate::view::{Figure, minute};
use crate::work::{SizedJob, SizedLens};
use bevelbook_core::sizing::Basis;
use serde::{Serialize, Serializer};

/// A lens. Sizes are over the traced shape, on the basis of the dial.
pub(super) struct LensRow {
    job: u32,
    eye: String,
    lens: u8,
    /// When its job was cut last.
    at: Option<String>,
    pub(super) passes: usize,
    /// The least size at which it was too big, and where it fitted or was loose.
    pub(super) too_big: Option<Figure>,
    pub(super) fits: Option<Figure>,
    pub(super) loose: Option<Figure>,
    /// Up to where it was to fit: the mean, and from where to where nine times in ten.
    pub(super) mean: Option<Figure>,
    pub(super) band: Option<[Figure; 2]>,
    /// Of so many such lenses in a hundred it was expected that they go undersize.
    promised: Option<Figure>,
    /// Passes beside which it is recorded what was advised, and those of them that followed it.
    pub(super) advised: usize,
    pub(super) followed: usize,
    pub(super) spoiled: bool,
    cause: Option<String>,
    /// At which of several stations it was cut.
    pub(super) station: Option<String>,
}

impl LensRow {
    pub(super) fn of(
        job: &SizedJob,
        sized: &SizedLens,
        foreseen: Option<Foreseen>,
        learned: &Learned,
    ) -> Self {
        let (tried, basis): (Tried, Basis) = (sized.tried(), learned.dial.basis);
        let size = |at: f64| Figure::from(on(at, basis)).to(2, 3).signed();
        let told = sized.passes.iter().filter_map(|pass| Some(pass.advised? == pass.size));
        let at = |fits: bool| {
            let end = tried.end.filter(|end| matches!(end, End::Fits(_)) == fits);
            end.map(|end| size(end.at()))
        };
        Self {
            job: job.number,
            eye: sized.lens.eye.to_string(),
            lens: sized.lens.number,
            at: job.at.map(minute),
            passes: tried.passes(),
            too_big: tried.too_big.iter().map(|big| big.at).reduce(f64::min).map(size),
            fits: at(true),
            loose: at(false),
            mean: foreseen.map(|foreseen| size(foreseen.mean).to(2, 2)),
            band: foreseen.map(|foreseen| foreseen.band.map(|end| size(end).to(2, 2))),
            promised: foreseen.map(|foreseen| Figure::share(foreseen.loose)),
            advised: told.clone().count(),
            followed: told.filter(|followed| *followed).count(),
            spoiled: sized.spoiled.is_some(),
            cause: sized.spoiled.flatten().map(|cause| cause.words().to_owned()),
            station: learned.stations.told(sized.station).map(str::to_owned),
        }
    }

    pub(super) fn day(&self) -> &str {
        self.at.as_deref().and_then(|at| at.split(' ').next()).unwrap_or("undated")
    }

    /// The sizes that a plot has to have room for.
    pub(super) fn sizes(&self) -> impl Iterator<Item = f64> {
        let own = [self.too_big, self.fits, self.loose].into_iter().flatten();
        own.chain(self.band.into_iter().flatten()).map(Figure::number)
    }

    /// Whose it is: of which job, and which of the eye's lenses.
    pub(super) fn whose(&self) -> String {
        format!("job {} {} lens {}", self.job, self.eye, self.lens)
    }

    /// What became of it, and why where anybody told.
    pub(super) fn spoiled_words(&self) -> Option<String> {
        let cause = self.cause.as_deref().unwrap_or("cause not told");
        let loose = self.loose.map_or(String::new(), |at| format!("loose at {at}, "));
        self.spoiled.then(|| format!("{}: {loose}{cause}", self.whose()))
    }

    /// All of it in words.
    pub(super) fn words(&self) -> String {
        let at = |what: &str, size: Option<Figure>| size.map(|size| format!("{what} {size}"));
        let band = self.band.map(|[low, high]| format!("expected {low} to {high}"));
        let said = [
            at("too big", self.too_big),
            at("fits", self.fits),
            at("LOOSE", self.loose),
            band,
            Some(format!("{} passes", self.passes)),
        ];
        let at = self.station.as_ref().map_or_else(String::new, |station| format!(" at {station}"));
        format!(
            "{}, {}{at}: {}",
            self.whose(),
            self.day(),
            said.into_iter().flatten().collect::<Vec<_>>().join(", ")
        )
    }

    pub(super) fn cells(&self) -> Cells<'_> {
        let [low, high] = [0, 1].map(|end| self.band.map(|band| band[end]));
        let count = |many: usize| Cell::Count(many as u64);
        let station = self.station.as_deref().map(|station| ("station", Cell::Text(Some(station))));
        let mut cells = vec![
            ("job", Cell::Count(self.job.into())),
            ("eye", Cell::Text(Some(&self.eye))),
            ("lens", Cell::Count(self.lens.into())),
            ("at", Cell::Text(self.at.as_deref())),
            ("passes", count(self.passes)),
            ("too_big_mm", Cell::Figure(self.too_big)),
            ("fits_mm", Cell::Figure(self.fits)),
            ("loose_mm", Cell::Figure(self.loose)),
            ("believed_mm", Cell::Figure(self.mean)),
            ("believed_from_mm", Cell::Figure(low)),
            ("believed_to_mm", Cell::Figure(high)),
            ("promised_undersize_percent", Cell::Figure(self.promised)),
            ("advised_passes", count(self.advised)),
            ("followed_passes", count(self.followed)),
            ("spoiled", Cell::Count(self.spoiled.into())),
            ("cause", Cell::Text(self.cause.as_deref())),
        ];
        cells.extend(station);
        Cells(cells)
    }
}

impl Serialize for LensRow {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.cells().serialize(serializer)
    }
}
