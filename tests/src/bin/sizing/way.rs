//! What a way of sizing is asked, whoever or whatever decides.

use bevelbook::belief::Tried;

/// Which lens is sized, as the book would know it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lens {
    /// The size of a model.
    pub(crate) rim: usize,
    /// Whether it is the second of its pair.
    pub(crate) second: bool,
    /// Whether a new wheel was put on before its pair.
    pub(crate) new_wheel: bool,
    /// The pair's place in the order in which all came. Only who knows the truth may look there by it.
    pub(crate) visit: usize,
}

/// A first size.
#[derive(Clone, Copy, Debug)]
pub(crate) struct First {
    pub(crate) at: f64,
    /// The chance that this lens ends loose, where it is told.
    pub(crate) loose: Option<f64>,
    /// Where it fits up to with a chance of nine in ten, half of the rest on either side, where it is told.
    pub(crate) central: Option<[f64; 2]>,
}

impl First {
    /// Of a way that promises nothing.
    pub(crate) fn at(at: f64) -> Self {
        Self { at, loose: None, central: None }
    }
}

/// A way of sizing lens after lens, in the order in which they come.
pub(crate) trait Way {
    /// The size that a lens is first cut to.
    fn first(&mut self, lens: &Lens) -> First;

    /// The size that follows where it was still too big; at most a step below the last one counts.
    fn next(&mut self, lens: &Lens, tried: &Tried) -> f64;

    /// A lens is done with; this was written of it.
    fn learn(&mut self, _lens: &Lens, _tried: &Tried) {}
}
