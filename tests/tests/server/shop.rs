//! The shop that all of them work in.

use bevelbook::desk::{Frame, LensChoice, Order};
use bevelbook::settings::Settings;
use bevelbook::store::{Book, Place};
use bevelbook::work::{PassEntry, Work, WorkError};
use bevelbook_core::frame::{FrameSize, PupillaryDistance};
use bevelbook_core::prescription::{Eye, EyeOrder, SphereCylinder};
use bevelbook_core::record::StationEvent;
use bevelbook_core::sizing::{Basis, Counting, Dial, Outcome, Rim};
use bevelbook_core::units::{Length, Power};

/// How many jobs are sized by keypads: the first of the book. So many that two hundred keypads give none of them thousands of
/// records, which each bench reads anew with every one that comes; no more than the cards that a keypad holds.
pub(crate) const SIZED: u64 = 10;

/// The job that all consoles fight for.
pub(crate) const FOUGHT: &str = "11";

/// Opens the book.
pub(crate) fn open(book: &str) -> Result<Work, WorkError> {
    Work::open(Place::named(book.into()).unwrap(), Settings::defaults().unwrap())
}

/// An order of a customer.
pub(crate) fn order(customer: &str) -> Order {
    let mm = Length::from_milli;
    let size = FrameSize { a: mm(50_000), b: mm(38_000), dbl: mm(18_000), ed: Some(mm(53_000)) };
    let frame = Frame { material: "steel".to_owned(), ..Frame::new("Skerry 3", size, Rim::Metal) };
    let eye = EyeOrder::single_vision(SphereCylinder::sphere(Power::from_milli(-2000)));
    let lens = LensChoice { material: "cr39".to_owned(), ..LensChoice::default() };
    Order::new(customer.to_owned(), [eye; 2], PupillaryDistance::Binocular(mm(62_000)), frame, lens)
}

/// A pass as it is typed, in hundredths of a millimetre on the dial.
pub(crate) fn pass(eye: Eye, hundredths: usize, outcome: Outcome) -> PassEntry {
    PassEntry { eye, amount: Length::from_milli(hundredths as i32 * 10), outcome, insist: false }
}

/// Begins a book with jobs that are sized next.
pub(crate) fn begin(book: &str) {
    assert!(Book::begin(Place::named(book.into()).unwrap()).unwrap());
    let mut work = open(book).unwrap();
    let dial = Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) };
    work.log_station(StationEvent::Dial(dial)).unwrap();
    for number in 1..=SIZED + 1 {
        let job = work.open_job(order(&format!("shop-{number}")), None).unwrap().0.id;
        for eye in Eye::BOTH {
            work.log_pass(job, &pass(eye, 60, Outcome::FarTooBig)).unwrap();
        }
    }
}
