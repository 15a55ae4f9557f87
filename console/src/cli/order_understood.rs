//! An order before it is saved: what it was understood as, and what is remarked on it.

use super::Failure;
use super::order_flags::OrderFlags;
use super::order_frame::Recalled;
use super::shop::Shop;
use super::trace_file::TraceFile;
use crate::desk::{Frame, Order, Remark, Severity};
use crate::settings::Settings;
use crate::work::{NewOrder, Work, WorkError, reviewed};

/// What is there before anything is written.
pub(crate) struct Before {
    pub(crate) settings: Settings,
    /// The book, if there is one yet.
    pub(crate) work: Option<Work>,
}

impl Before {
    pub(crate) fn of(shop: &Shop) -> Result<Self, Failure> {
        Ok(Self { settings: shop.settings()?.0, work: shop.look_if_there()? })
    }

    /// Whether names of people are asked for: not of who may not set them.
    pub(crate) fn takes_names(&self) -> bool {
        self.work.as_ref().is_none_or(|work| work.may_set_names().is_ok())
    }

    /// What is remarked on an order, which is laid out as it would be saved.
    pub(crate) fn reviewed(&self, order: &mut Order) -> Result<Vec<Remark>, WorkError> {
        match &self.work {
            Some(work) => work.remarked(order),
            None => Ok(reviewed(order, &self.settings, None)),
        }
    }
}

/// An order as it was understood.
pub(crate) struct Understood {
    pub(crate) new: NewOrder,
    /// What of it was interpreted or taken over.
    pub(crate) hints: Vec<String>,
}

impl Understood {
    /// From flags, or from the form that they are; what they leave open is that of `like`.
    pub(crate) fn of(flags: &OrderFlags, like: Option<Order>, work: Option<&Work>) -> Result<Self, Failure> {
        if let (Some(_), Some(work)) = (&flags.name, work) {
            work.may_set_names().map_err(Failure::wrong)?;
        }
        let traced = flags.traced()?;
        let other = like.as_ref().is_none_or(|like| flags.frame.as_ref() != Some(&like.frame.model));
        let known = match (&flags.frame, work) {
            (Some(model), Some(work)) if other => work.frames_of(model)?,
            _ => Vec::new(),
        };
        let Recalled { frame, mut hints } = Recalled::of(flags, traced.as_ref(), &known)?;
        hints.extend(flags.interpreted());
        let order = match like {
            Some(mut order) => {
                // What belongs to one job only is not carried over.
                (order.tray, order.due) = (None, None);
                if let Some(frame) = frame {
                    order.frame = Frame { model: order.frame.model, ..frame };
                }
                hints.extend(flags.apply(&mut order, traced.as_ref()).then(|| LEFT_BEHIND.into()));
                order
            }
            None => flags.order(traced.as_ref(), frame.as_ref())?,
        };
        hints.extend(traced.iter().flat_map(TraceFile::hints));
        Ok(Self { new: NewOrder { order, name: flags.name.clone() }, hints })
    }
}

/// What is said of an order that was not opened.
pub(crate) const NOTHING_SAVED: &str = "nothing was saved";

/// What is said of a trace that belongs to the frame before.
pub(crate) const LEFT_BEHIND: &str =
    "the trace was that of the earlier model and was left out; --trace FILE gives its own";

/// What is unusual, a sentence each.
pub(crate) fn unusual(remarks: &[Remark]) -> impl Iterator<Item = String> {
    remarks.iter().filter(|remark| remark.severity == Severity::Unusual).map(ToString::to_string)
}
