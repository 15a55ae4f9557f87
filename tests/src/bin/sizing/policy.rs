//! The best next sizes where it is known how often a lens fits up to which size: dynamic programming, exact.
//!
//! What passes leave open is an interval, so what to do next depends on that interval and the size last tried alone. The
//! sizes on the dial are numbered from the least that matters.

use std::collections::HashMap;

/// A shop's hand and dial, in millimetres.
#[derive(Clone, Copy)]
pub(crate) struct Hand {
    pub(crate) step: f64,
    pub(crate) window: f64,
    pub(crate) touch: f64,
}

/// An end of the interval that is left.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
enum Bound {
    /// Nothing is known on this side.
    Open,
    /// The size itself.
    At(u16),
    /// A touch below the size.
    Touch(u16),
}

/// What is left open of a lens: where it may fit, and the size last tried.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(crate) struct Left {
    low: Bound,
    high: Bound,
    last: u16,
}

/// Expected passes and the chance of a loose lens, both times the chance to come so far.
#[derive(Clone, Copy, Default, Debug)]
pub(crate) struct Cost {
    pub(crate) passes: f64,
    pub(crate) loose: f64,
}

impl Cost {
    fn at(self, price: f64) -> f64 {
        self.passes + price * self.loose
    }
}

/// A chance that is none.
const NOTHING: f64 = 1e-12;
/// What may lie beyond the sizes that are looked at, at either end.
const BEYOND: f64 = 1e-6;

/// How a lens's largest fit is spread over the dial.
pub(crate) struct Chances {
    hand: Hand,
    /// The number on the dial of the least size.
    least: i32,
    /// The chance that the largest fit is below each size, a touch below it, and the window above it.
    at: Vec<f64>,
    touch: Vec<f64>,
    window: Vec<f64>,
}

impl Chances {
    /// Of a largest fit that is below `x` with the chance `below(x)`, most likely near `about`.
    pub(crate) fn new(hand: Hand, about: f64, below: impl Fn(f64) -> f64) -> Self {
        let size = |number: i32| f64::from(number) * hand.step;
        let middle = (about / hand.step) as i32;
        let least = (0..).map(|n| middle - n).find(|n| below(size(*n)) < BEYOND).unwrap_or(middle);
        let most = (0..).map(|n| middle + n).find(|n| below(size(*n) - hand.touch) > 1.0 - BEYOND);
        let sizes: Vec<f64> = (least..=most.unwrap_or(middle)).map(size).collect();
        let off = |by: f64| sizes.iter().map(|size| below(size + by)).collect();
        Self { hand, least, at: off(0.0), touch: off(-hand.touch), window: off(hand.window) }
    }

    fn below(&self, bound: Bound) -> f64 {
        match bound {
            Bound::Open => 0.0,
            Bound::At(size) => self.at[usize::from(size)],
            Bound::Touch(size) => self.touch[usize::from(size)],
        }
    }

    fn high(&self, left: &Left) -> f64 {
        if left.high == Bound::Open { 1.0 } else { self.below(left.high) }
    }

    fn begin(&self) -> Left {
        Left { low: Bound::Open, high: Bound::Open, last: self.at.len() as u16 }
    }

    /// What is left open where a lens of size `size` was still too big.
    fn after(&self, left: &Left, size: u16, much: bool) -> Left {
        let upper = if much { Bound::Touch(size) } else { Bound::At(size) };
        let high = if self.below(upper) < self.high(left) { upper } else { left.high };
        let touch = !much && self.below(Bound::Touch(size)) > self.below(left.low);
        Left { low: if touch { Bound::Touch(size) } else { left.low }, high, last: size }
    }
}

/// What is best at one price of a loose lens.
struct Solved {
    price: f64,
    best: HashMap<Left, (Cost, u16)>,
}

impl Solved {
    fn new(chances: &Chances, price: f64) -> (Cost, Self) {
        let mut solved = Self { price, best: HashMap::new() };
        (solved.cost(chances, chances.begin()), solved)
    }

    fn cost(&mut self, chances: &Chances, left: Left) -> Cost {
        let (low, high) = (chances.below(left.low), chances.high(&left));
        // Below the least size nothing is looked at.
        if high - low < NOTHING || left.last == 0 {
            return Cost::default();
        }
        if let Some((cost, _)) = self.best.get(&left) {
            return *cost;
        }
        let mut best = (Cost { passes: f64::INFINITY, loose: 0.0 }, 0);
        for size in 0..left.last {
            let loose = (high - chances.window[usize::from(size)].max(low)).max(0.0);
            let mut cost = Cost { passes: high - low, loose };
            for much in [true, false] {
                if cost.at(self.price) < best.0.at(self.price) {
                    let on = self.cost(chances, chances.after(&left, size, much));
                    cost = Cost { passes: cost.passes + on.passes, loose: cost.loose + on.loose };
                }
            }
            if cost.at(self.price) < best.0.at(self.price) {
                best = (cost, size);
            }
        }
        self.best.insert(left, best);
        best.0
    }
}

/// Which size to try next, whatever was felt.
pub(crate) struct Policy {
    chances: Chances,
    best: HashMap<Left, (Cost, u16)>,
    pub(crate) cost: Cost,
}

impl Policy {
    /// With a loose lens at the price of so many passes.
    pub(crate) fn at_price(chances: Chances, price: f64) -> Self {
        let (cost, solved) = Solved::new(&chances, price);
        Self { chances, best: solved.best, cost }
    }

    /// At the least price at which the chance of a loose lens is at most `limit`.
    ///
    /// Costs at all prices are the lower hull of what can be had. Two corners of it, one on either side of the limit, give
    /// the price at which they are as good as each other; whatever is better there is a corner between them.
    pub(crate) fn within(chances: Chances, limit: f64) -> Self {
        let mut free = Solved::new(&chances, 0.0);
        let mut safe = Solved::new(&chances, 1e9);
        if free.0.loose <= limit {
            safe = free;
        } else {
            while free.0.loose > safe.0.loose {
                let price = (safe.0.passes - free.0.passes) / (free.0.loose - safe.0.loose);
                let between = Solved::new(&chances, price);
                if between.0.at(price) > safe.0.at(price) - 1e-9 {
                    break;
                }
                let kept = if between.0.loose <= limit { &mut safe } else { &mut free };
                *kept = between;
            }
        }
        Self { chances, best: safe.1.best, cost: safe.0 }
    }

    /// Before the first size.
    pub(crate) fn begin(&self) -> Left {
        self.chances.begin()
    }

    /// The number on the dial that comes next; a step down where nothing was foreseen.
    fn number(&self, left: &Left) -> u16 {
        self.best.get(left).map_or(left.last.saturating_sub(1), |(_, size)| *size)
    }

    /// The size that comes next.
    pub(crate) fn next(&self, left: &Left) -> f64 {
        let below = i32::from(left.last == 0);
        f64::from(self.chances.least + i32::from(self.number(left)) - below) * self.chances.hand.step
    }

    /// What is left open where the size that came next was too big.
    pub(crate) fn after(&self, left: &Left, much: bool) -> Left {
        self.chances.after(left, self.number(left), much)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;

    /// A whole course of sizing, written out: a size, what follows much too big, and what follows a touch too big.
    #[derive(Clone)]
    enum Course {
        End,
        Try(u16, Box<Course>, Box<Course>),
    }

    /// Every course over sizes below `last`, in whatever order they go down.
    fn all(last: u16) -> Vec<Course> {
        let mut courses = vec![];
        for size in 0..last {
            let on = all(size);
            for (much, touch) in on.iter().flat_map(|much| on.iter().map(move |touch| (much, touch))) {
                courses.push(Course::Try(size, Box::new(much.clone()), Box::new(touch.clone())));
            }
        }
        if courses.is_empty() { vec![Course::End] } else { courses }
    }

    /// Passes, and whether it ends loose, of a lens that fits up to `largest`, by the hand's own rule.
    fn follow(course: &Course, hand: Hand, largest: f64) -> Cost {
        let mut cost = Cost::default();
        let mut course = course;
        while let Course::Try(size, much, touch) = course {
            let at = f64::from(*size) * hand.step;
            cost.passes += 1.0;
            if largest >= at {
                cost.loose = f64::from(u8::from(largest > at + hand.window));
                break;
            }
            course = if largest < at - hand.touch { much } else { touch };
        }
        cost
    }

    /// Some lenses' largest fits, none of them on a border, all of them above the least size.
    fn fits(chance: &mut Chance, hand: Hand) -> Vec<f64> {
        (0..12).map(|_| (0.013 + 4.9 * chance.unit()) * hand.step).collect()
    }

    fn chances(hand: Hand, fits: &[f64]) -> Chances {
        let below = |x: f64| fits.iter().filter(|fit| **fit < x).count() as f64 / fits.len() as f64;
        let size = |number: u16| f64::from(number) * hand.step;
        let off = |by: f64| (0..5).map(|number| below(size(number) + by)).collect();
        Chances { hand, least: 0, at: off(0.0), touch: off(-hand.touch), window: off(hand.window) }
    }

    /// What each course costs on average; those that end before a lens fits are none.
    fn costs(courses: &[Course], hand: Hand, fits: &[f64]) -> Vec<Cost> {
        let mean = |course: &Course| {
            let costs = fits.iter().map(|fit| follow(course, hand, *fit));
            let sum = costs.fold(Cost::default(), |sum, cost| Cost {
                passes: sum.passes + cost.passes,
                loose: sum.loose + cost.loose,
            });
            Cost { passes: sum.passes / fits.len() as f64, loose: sum.loose / fits.len() as f64 }
        };
        courses.iter().map(mean).collect()
    }

    /// Windows and touches in steps of the dial.
    const HANDS: [(f64, f64); 4] = [(1.0, 1.0), (3.0, 3.0), (1.5, 2.5), (2.0, 0.7)];
    /// None at which two courses are as good as each other by their round figures.
    const PRICES: [f64; 9] = [0.0012, 0.513, 1.0137, 2.0713, 4.0317, 7.3173, 12.0713, 40.0173, 1e6];

    #[test]
    fn no_course_of_all_is_better_at_its_price_or_keeps_the_limit_with_fewer_passes() {
        let courses = all(5);
        assert_eq!(courses.len(), 1806);
        let mut chance = Chance(5);
        let mut limited = 0;
        for (window, touch) in HANDS {
            let hand = Hand { step: 0.05, window: window * 0.05, touch: touch * 0.05 };
            for _ in 0..10 {
                let fits = fits(&mut chance, hand);
                let costs = costs(&courses, hand, &fits);
                let limit = Policy::within(chances(hand, &fits), 0.1).cost;
                assert!(limit.loose <= 0.1 + 1e-9, "grinding down by single steps is never loose");
                for price in PRICES {
                    let by_price = |one: &&Cost, other: &&Cost| one.at(price).total_cmp(&other.at(price));
                    let best = costs.iter().min_by(by_price).unwrap();
                    let policy = Policy::at_price(chances(hand, &fits), price);
                    assert!(
                        (policy.cost.at(price) - best.at(price)).abs() < 1e-9,
                        "{window} {touch} {price}"
                    );
                    let kept = policy.cost.loose <= 0.1;
                    assert!(!kept || limit.passes <= policy.cost.passes + 1e-9, "{window} {touch} {price}");
                    limited += usize::from(!kept);
                }
            }
        }
        assert!(limited > 20, "the limit was hardly ever in the way");
    }
}
