//! What passes showed of one rim.

use std::collections::BTreeSet;

/// A size at which a lens was still too big.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooBig {
    /// The size, in millimetres of diameter over the traced shape.
    pub at: f64,
    /// Whether it was felt as much too big, and not as a touch.
    pub much: bool,
}

/// How the sizing of a lens ended, and at which size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum End {
    /// It fits there.
    Fits(f64),
    /// It is loose there.
    Loose(f64),
}

impl End {
    /// The size.
    pub const fn at(self) -> f64 {
        match self {
            Self::Fits(at) | Self::Loose(at) => at,
        }
    }
}

/// What the passes of one lens showed; those whose size is not known exactly are left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tried {
    /// Where it was too big, in the order in which it was tried.
    pub too_big: Vec<TooBig>,
    /// Where it fits or is loose, once it does or is.
    pub end: Option<End>,
    /// Where it is as long round as its rim, by measured girths.
    pub by_girth: Option<f64>,
    /// The number of the station at which that was.
    pub station: u64,
}

impl Tried {
    /// Whether any pass tells of it.
    pub const fn is_cut(&self) -> bool {
        self.end.is_some() || !self.too_big.is_empty()
    }

    /// Whether it is loose.
    pub const fn is_loose(&self) -> bool {
        matches!(self.end, Some(End::Loose(_)))
    }

    /// How many passes tell of it.
    pub fn passes(&self) -> usize {
        self.too_big.len() + usize::from(self.end.is_some())
    }
}

/// What the lenses showed that were tried in each rim of a frame, right and left, those that were made anew among them.
pub type Rims = [Vec<Tried>; 2];

/// What the lenses of one frame showed.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// How far below its largest fit a lens is still firm in these rims.
    pub window: f64,
    /// Its lenses, in their order.
    pub rims: Rims,
}

impl Pair {
    /// Of a frame whose lenses were not tried yet.
    pub const fn untried(window: f64) -> Self {
        Self { window, rims: [const { Vec::new() }; 2] }
    }

    /// The stations at which its lenses were cut.
    pub fn stations(&self) -> BTreeSet<u64> {
        self.rims.iter().flatten().filter(|tried| tried.is_cut()).map(|tried| tried.station).collect()
    }

    /// Whether it tells of any lens.
    pub fn is_untried(&self) -> bool {
        self.rims.iter().all(Vec::is_empty)
    }

    /// As it would be with every size larger by so much.
    #[must_use]
    pub fn moved(&self, by: f64) -> Self {
        self.moved_at(|_| by)
    }

    /// The same with what was tried at each station by as much as that one says.
    #[must_use]
    pub fn moved_at(&self, by: impl Fn(u64) -> f64) -> Self {
        let mut moved = self.clone();
        for tried in moved.rims.iter_mut().flatten() {
            let by = by(tried.station);
            tried.too_big.iter_mut().for_each(|tried| tried.at += by);
            tried.end = tried.end.map(|end| match end {
                End::Fits(at) => End::Fits(at + by),
                End::Loose(at) => End::Loose(at + by),
            });
            tried.by_girth = tried.by_girth.map(|at| at + by);
        }
        moved
    }
}
