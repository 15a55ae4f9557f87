//! What passes showed of one rim.

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

/// What the passes of one lens showed; those whose size is not known exactly are left out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tried {
    /// Where it was too big, in the order in which it was tried.
    pub too_big: Vec<TooBig>,
    /// Where it fits or is loose, once it does or is.
    pub end: Option<End>,
    /// Where it is as long round as its rim, by measured girths.
    pub by_girth: Option<f64>,
}

/// What the lenses of one frame showed: the right rim's and the left one's, those that were made anew among them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pair {
    /// The lenses that were tried in each rim, in their order.
    pub rims: [Vec<Tried>; 2],
}
