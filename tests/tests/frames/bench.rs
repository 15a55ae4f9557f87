//! A bench of truth: passes are typed as its hand feels them.

use bevelbook::settings::Settings;
use bevelbook::work::{PassEntry, Work};
use bevelbook_core::prescription::Eye;
use bevelbook_core::sizing::Outcome::{self, FarTooBig, Fits, JustTooBig, Loose};
use bevelbook_core::units::Length;
use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;

/// What was typed of one lens, counted here and read back from nowhere.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cut {
    /// The least size at which it was too big.
    pub(crate) too_big: Option<f64>,
    pub(crate) fits_at: Option<f64>,
    pub(crate) passes: usize,
    /// Passes that said what stood there advised, and those that dialled it.
    pub(crate) advised: usize,
    pub(crate) followed: usize,
}

pub(crate) struct Bench {
    pub(crate) shop: Shop,
    jobs: u32,
}

impl Bench {
    pub(crate) fn new() -> Self {
        let bench = Self { shop: Shop::new(), jobs: 0 };
        bench.types(&["station", "dial", "--basis", "diameter", "--absolute", "--step", "0.05"]);
        bench
    }

    /// Runs a command that is to succeed.
    pub(crate) fn types(&self, args: &[&str]) -> Output {
        let output = self.shop.run(args);
        assert_eq!(output.status, Some(0), "{args:?}: {output:?}");
        output
    }

    pub(crate) fn json(&self, args: &[&str]) -> Value {
        self.types(&[&["--json"], args].concat()).json()
    }

    /// Opens a job with a frame and gives its number.
    pub(crate) fn orders(&mut self, model: &str, a: &str) -> u32 {
        let order = usual_order(&[["--frame", model], ["--a", a], ["--b", "38"], ["--dbl", "18"]]);
        let output = self.shop.run(order);
        assert_eq!(output.status, Some(0), "{output:?}");
        self.jobs += 1;
        self.jobs
    }

    /// Both lenses of a job, whose rims they fit up to so much, from `first` on.
    pub(crate) fn pair(&mut self, model: &str, a: &str, rims: [f64; 2], first: f64) -> [Cut; 2] {
        let job = self.orders(model, a).to_string();
        [("r", rims[0]), ("l", rims[1])].map(|(eye, rim)| {
            let mut cut = Cut::default();
            for (at, outcome) in passes(rim, first) {
                let felt = match outcome {
                    FarTooBig => "much",
                    JustTooBig => "touch",
                    Fits => "fits",
                    _ => "loose",
                };
                let pass = self.json(&["record", "pass", &job, eye, &format!("{at:.2}"), felt]);
                cut.passes += 1;
                cut.advised += usize::from(!pass["advised_mm"].is_null());
                cut.followed += usize::from(pass["advised_mm"] == pass["dialled_mm"]);
                match outcome {
                    Fits => cut.fits_at = Some(at),
                    Loose => {}
                    _ => cut.too_big = Some(at),
                }
            }
            cut
        })
    }

    /// The same of a station that leaves lenses so much larger than dialled, logged past the command line: of hundreds of
    /// passes only what becomes of them is asked.
    pub(crate) fn pair_on(&mut self, larger: f64, model: &str, rims: [f64; 2], first: f64) {
        let job = self.orders(model, "50").to_string();
        let mut work = Work::reopen(self.shop.book(), Settings::defaults().unwrap()).unwrap();
        let id = work.find(&job).unwrap().id;
        for (eye, rim) in Eye::BOTH.into_iter().zip(rims) {
            for (at, outcome) in passes(rim - larger, first) {
                let amount = Length::from_milli((at * 1000.0).round() as i32);
                work.log_pass(id, &PassEntry { eye, amount, outcome, insist: false }).unwrap();
            }
        }
    }
}

/// A lens from `first` on, down by 0.2 while it is much too big and by 0.1 when it is a touch.
fn passes(rim: f64, first: f64) -> Vec<(f64, Outcome)> {
    let (mut passes, mut at) = (Vec::new(), first);
    loop {
        let (outcome, step) = match at - rim {
            over if over > 0.15 + 1e-9 => (FarTooBig, 0.2),
            over if over > 1e-9 => (JustTooBig, 0.1),
            over if over >= -0.15 - 1e-9 => (Fits, 0.0),
            _ => (Loose, 0.0),
        };
        passes.push((at, outcome));
        if step == 0.0 {
            return passes;
        }
        at -= step;
    }
}
