//! The sizes to try: first, and after each by what was felt.

/// One size and what follows it, in millimetres of diameter over the traced shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rung {
    /// The size that was tried.
    pub at: f64,
    /// The next one where the lens was much too big.
    pub much: f64,
    /// The next one where it was a touch too big.
    pub touch: f64,
}

/// A way to the fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Its sizes, largest first.
    pub rungs: Vec<Rung>,
    /// How many passes it takes in the mean.
    pub passes: f64,
    /// How probable it is that the lens ends loose.
    pub loose: f64,
}

impl Way {
    /// Of the sizes that are reached while lenses are much too big, and of those that follow a touch. A size that is reached
    /// in both ways goes on as after much, unless a lens that was a touch too big before could become loose by that.
    pub(crate) fn new(much: Vec<Rung>, touch: Vec<Rung>, window: f64, passes: f64, loose: f64) -> Self {
        let mut rungs = much;
        for after in touch {
            match rungs.iter_mut().find(|rung| rung.at == after.at) {
                Some(same) if same.at - same.touch > window + 1e-9 => {
                    same.touch = same.touch.max(after.touch);
                }
                Some(_) => {}
                None => rungs.push(after),
            }
        }
        rungs.sort_by(|one, other| other.at.total_cmp(&one.at));
        Self { rungs, passes, loose }
    }

    /// The size to begin with; none where nothing can be said.
    pub fn first(&self) -> Option<f64> {
        self.rungs.first().map(|rung| rung.at)
    }
}
