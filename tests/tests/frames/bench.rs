//! A bench of truth: passes are typed as its hand feels them.

use bevelbook_tests::{Output, Shop, usual_order};
use serde_json::Value;

/// What one lens was in truth.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    pub(crate) fits_at: Option<f64>,
    pub(crate) passes: usize,
}

pub(crate) struct Bench {
    pub(crate) shop: Shop,
    jobs: u32,
    /// By how much larger than dialled the station leaves a lens, in mm of diameter.
    pub(crate) larger: f64,
}

impl Bench {
    pub(crate) fn new() -> Self {
        let bench = Self { shop: Shop::new(), jobs: 0, larger: 0.0 };
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

    /// Cuts one lens whose rim it fits up to `rim`, from `first` on and down by 0.2 where it is much too big, by 0.1
    /// where it is a touch.
    pub(crate) fn cuts(&self, job: u32, eye: &str, rim: f64, first: f64) -> Cut {
        let mut at = first;
        for passes in 1..20 {
            let over = at + self.larger - rim;
            let felt = match over {
                over if over > 0.15 => "much",
                over if over > 1e-9 => "touch",
                over if over >= -0.15 - 1e-9 => "fits",
                _ => "loose",
            };
            self.types(&["record", "pass", &job.to_string(), eye, &format!("{at:.2}"), felt]);
            match felt {
                "much" => at -= 0.2,
                "touch" => at -= 0.1,
                _ => return Cut { fits_at: (felt == "fits").then_some(at), passes },
            }
        }
        panic!("a lens that never fits");
    }

    /// Both lenses of a job.
    pub(crate) fn pair(&mut self, model: &str, a: &str, rims: [f64; 2], first: f64) -> [Cut; 2] {
        let job = self.orders(model, a);
        [("r", rims[0]), ("l", rims[1])].map(|(eye, rim)| self.cuts(job, eye, rim, first))
    }
}
