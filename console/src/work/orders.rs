//! Orders that come in: what is remarked on them, and the jobs that they open.

use super::append::{Writing, append_desk};
use super::change::{job_then, write};
use super::find::{folded, holds, lying_in};
use super::follow::follow;
use super::holding::{Fact, Holding, Line};
use super::sets::Sets;
use super::words::{DAMAGED, NUMBER, number_in, of_customer};
use super::{Job, Work, WorkError};
use crate::desk::{Desk, Order, Remark, Severity, review};
use crate::settings::Settings;
use crate::store::Reader;
use bevelbook_core::record::{FIRST_DESK_KIND, JobId, JournalId, Ledger, RecordId};

/// An order that is to open a job.
#[derive(Clone, Debug)]
pub struct NewOrder {
    /// What is ordered; its number is given when it is opened.
    pub order: Order,
    /// The customer's name, where it is told.
    pub name: Option<String>,
}

impl Job {
    /// The job that an order would open, in no book.
    ///
    /// # Errors
    /// None, as long as an order alone makes a job.
    pub fn drafted(order: Order) -> Result<Self, WorkError> {
        let id = RecordId { journal: JournalId(0), seq: 0 };
        let job = JobId::opened_by(id);
        let fact = Fact::Desk(Desk::Order(Box::new(order)));
        let line = Line {
            id,
            position: 0,
            job: Some(job),
            at: None,
            by_clock: false,
            between: None,
            ticks: None,
            within_ms: None,
            fact,
            void: false,
            by: None,
            apart: None,
        };
        let ledger = Ledger::over(std::iter::once(line.told()), Sets::default());
        Self::of(job, Holding { ledger, lines: vec![line] })
    }
}

impl Work {
    /// Opens a job. The order's number is given here. Returns the job and what is unusual in it.
    ///
    /// # Errors
    /// The order cannot be right, or the book refuses.
    #[expect(
        clippy::needless_pass_by_value,
        reason = "it is given away; a write may be run again, which is why it is copied there"
    )]
    pub fn open_job(&mut self, order: Order, name: Option<&str>) -> Result<(Job, Vec<Remark>), WorkError> {
        let Self { settings, book, .. } = self;
        write(book, settings, |tx| {
            open_one(tx, settings, NewOrder { order: order.clone(), name: name.map(str::to_owned) })
        })
    }

    /// Opens a job for each order, or none.
    ///
    /// # Errors
    /// An order cannot be right, or the book refuses.
    #[expect(
        clippy::needless_pass_by_value,
        reason = "it is given away; a write may be run again, which is why it is copied there"
    )]
    pub fn open_batch(&mut self, orders: Vec<NewOrder>) -> Result<Vec<(Job, Vec<Remark>)>, WorkError> {
        let Self { settings, book, .. } = self;
        write(book, settings, |tx| orders.iter().map(|new| open_one(tx, settings, new.clone())).collect())
    }

    /// What is remarked on an order that would open a job now.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn remarked(&self, order: &mut Order) -> Result<Vec<Remark>, WorkError> {
        remarked(&self.book, &self.settings, order)
    }

    /// The customer's newest order that can be read, as amended.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn last_order_of(&self, customer: &str) -> Result<Option<Order>, WorkError> {
        last_of_customer(&self.book, customer)
    }
}

/// What an order that opens a job is remarked on, where all is known that the book tells.
fn remarked(reader: &Reader, settings: &Settings, order: &mut Order) -> Result<Vec<Remark>, WorkError> {
    let earlier = last_of_customer(reader, &order.customer)?;
    let mut remarks = reviewed(order, settings, earlier.as_ref());
    remarks.extend(tray_in_use(reader, order, None)?);
    Ok(remarks)
}

fn open_one(
    tx: &mut Writing<'_, '_>,
    settings: &Settings,
    new: NewOrder,
) -> Result<(Job, Vec<Remark>), WorkError> {
    let NewOrder { mut order, name } = new;
    tx.ahead(|reader| drop((next_number(reader), remarked(reader, settings, &mut order.clone()))))?;
    order.number = next_number(tx)?;
    let unusual = acceptable(remarked(tx, settings, &mut order)?)?;
    if let Some(name) = name {
        tx.set_person(&order.customer, &name)?;
    }
    let id = JobId::opened_by(tx.next_id()?);
    append_desk(tx, id, &Desk::Order(Box::new(order)))?;
    // The next order of a batch is numbered by the words of this one.
    follow(&mut tx.words())?;
    Ok((job_then(tx, id)?, unusual))
}

/// A number that no order has: above every order's, and above their count, in case the last cannot be read.
fn next_number(reader: &Reader) -> Result<u32, WorkError> {
    let highest = reader.last_word(NUMBER)?.and_then(|word| number_in(&word)).unwrap_or(0);
    let unread = !reader.found_by(DAMAGED)?.is_empty();
    let count = if unread { reader.count_of_kind(FIRST_DESK_KIND)? } else { 0 };
    Ok(highest.max(count).saturating_add(1))
}

fn last_of_customer(reader: &Reader, customer: &str) -> Result<Option<Order>, WorkError> {
    let ids = reader.found_by_beginning(&of_customer(customer))?.into_iter().rev().map(|(_, id)| id);
    let last = folded(reader, ids, |job| job.order.customer == customer).next().transpose()?;
    Ok(last.map(|job| job.order))
}

/// That other open jobs lie in the tray of an order, which is that of job `id` if it is open already.
pub(super) fn tray_in_use(
    reader: &Reader,
    order: &Order,
    id: Option<JobId>,
) -> Result<Option<Remark>, WorkError> {
    let Some(tray) = &order.tray else { return Ok(None) };
    let others = lying_in(reader, tray)?.into_iter().filter(|job| Some(job.id) != id);
    let others: Vec<u32> = others.map(|job| job.order.number).collect();
    Ok((!others.is_empty()).then(|| Remark {
        severity: Severity::Unusual,
        place: "tray".into(),
        text: format!("{} already", holds(tray, &others)),
    }))
}

/// What is remarked on an order today. The key of its material takes the place of what is written for it, and treatments
/// written with no more than a blank between them (`HC AR`) are told apart.
pub fn reviewed(order: &mut Order, settings: &Settings, earlier: Option<&Order>) -> Vec<Remark> {
    if let Ok(key) = settings.material_key(&order.lens.material) {
        order.lens.material = key.to_owned();
    }
    let apart = |written: &String| match written.split_whitespace() {
        words
            if settings.treatment(written).is_none()
                && words.clone().all(|word| settings.treatment(word).is_some()) =>
        {
            words.map(str::to_owned).collect()
        }
        _ => vec![written.clone()],
    };
    order.lens.treatments = order.lens.treatments.iter().flat_map(apart).collect();
    review(order, settings, jiff::ZonedDateTime::now().date(), earlier)
}

/// What is unusual in an amended order that can be right.
pub(super) fn accepted(order: &mut Order, settings: &Settings) -> Result<Vec<Remark>, WorkError> {
    acceptable(reviewed(order, settings, None))
}

/// The remarks on an order that can be right.
///
/// # Errors
/// It cannot.
pub fn acceptable(remarks: Vec<Remark>) -> Result<Vec<Remark>, WorkError> {
    let refused = remarks.iter().any(|remark| remark.severity == Severity::Refused);
    if refused { Err(WorkError::Refused(remarks)) } else { Ok(remarks) }
}
