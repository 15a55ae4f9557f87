//! The frame that an order takes from an earlier one: the same model, in the same size.

use super::Failure;
use super::order_flags::OrderFlags;
use super::trace_file::TraceFile;
use crate::desk::Frame;
use crate::work::{KnownFrame, Work};

/// What is known of an ordered frame.
#[derive(Default)]
pub(crate) struct Recalled {
    /// The frame as it was ordered before, if it was.
    pub(crate) frame: Option<Frame>,
    /// What a person should know of that.
    pub(crate) hints: Vec<String>,
}

impl Recalled {
    /// The frame of `known` that the flags mean. What they give is not looked up, only compared.
    ///
    /// # Errors
    /// The model is known in several sizes, and nothing says which.
    pub(crate) fn of(
        flags: &OrderFlags,
        traced: Option<&TraceFile>,
        known: &[KnownFrame],
    ) -> Result<Self, Failure> {
        let fits = |known: &&KnownFrame| {
            let size = &known.frame.size;
            [(flags.a, size.a), (flags.b, size.b), (flags.dbl, size.dbl)]
                .iter()
                .all(|(given, own)| given.is_none_or(|given| (given - *own).abs() <= Work::SAME_SIZE))
        };
        let meant: Vec<&KnownFrame> = known.iter().filter(fits).collect();
        let Some(first) = known.first() else { return Ok(Self::default()) };
        let model = &first.frame.model;
        match meant[..] {
            [] => {
                let hint = format!(
                    "{model} is known as {} and was not taken over: its size is another",
                    sizes(known)
                );
                Ok(Self { frame: None, hints: vec![hint] })
            }
            [one] => Ok(Self { frame: Some(one.frame.clone()), hints: told(flags, traced, one) }),
            // Its points say which size a traced frame has.
            [newest, ..] if traced.is_some() => {
                Ok(Self { frame: Some(newest.frame.clone()), hints: told(flags, traced, newest) })
            }
            _ => Err(Failure::Use(format!(
                "{model} is known as {}: say which, for example --a {}",
                sizes(known),
                first.frame.size.a
            ))),
        }
    }
}

/// The sizes that a model is known in, each with its job.
pub(crate) fn sizes(known: &[KnownFrame]) -> String {
    let sizes = known.iter().map(|known| format!("{} (job {})", known.frame.label(), known.number));
    sizes.collect::<Vec<_>>().join(", ")
}

/// What of the frame was taken over, and what was not.
fn told(flags: &OrderFlags, traced: Option<&TraceFile>, known: &KnownFrame) -> Vec<String> {
    let Frame { size, rim, material, curve, .. } = &known.frame;
    let typed = traced.is_none();
    let bridge = flags.dbl.is_some() || traced.is_some_and(|traced| traced.dbl().is_some());
    let taken = [
        (typed && flags.a.is_none()).then(|| format!("A {}", size.a)),
        (typed && flags.b.is_none()).then(|| format!("B {}", size.b)),
        (!bridge).then(|| format!("DBL {}", size.dbl)),
        size.ed.filter(|_| typed && flags.ed.is_none()).map(|ed| format!("ED {ed}")),
        flags.rim.is_none().then(|| rim.to_string()),
        (flags.rim_material.is_none() && !material.is_empty()).then(|| format!("of {material}")),
        curve.filter(|_| flags.frame_curve.is_none()).map(|curve| format!("rim curve {curve}")),
    ];
    let taken: Vec<String> = taken.into_iter().flatten().collect();
    let frame = (!taken.is_empty()).then(|| format!("frame as in job {}: {}", known.number, taken.join(" ")));
    let trace = format!(
        "the trace of job {} belongs to that frame and was not taken; --trace FILE gives this one's",
        known.number
    );
    frame.into_iter().chain((known.traced && typed).then_some(trace)).collect()
}
