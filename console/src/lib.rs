//! The console of bevelbook: a library that the binary `bevelbook` is made of.
//!
//! - [`store`]: the book, a SQLite database of records. It knows nothing of what a record says.
//! - [`desk`]: the console's own kinds of record (orders, amendments, remakes, sign-offs).
//! - [`settings`]: the shop's tables and habits, from a file the shop edits.
//! - [`belief`]: what passes tell of where lenses fit, in numbers alone.
//! - [`work`]: the one place where records meet the book; a job is a fold over its records.
//! - [`advice`]: how big to cut, by what the book holds.
//! - [`plan`]: from an order to what is to be done at the bench.
//! - [`inspection`]: ordered against read.
//! - [`history`]: figures over many jobs.
//! - [`view`]: answers as they are shown: one value that text, JSON and sheet render.
//! - [`sheet`]: a job as one printable page.
//! - [`trace`]: frame records from files, the shapes of both eyes.
//! - [`cli`]: commands, their text and their JSON.

pub use bevelbook_belief as belief;

pub mod advice;
pub mod cli;
pub mod desk;
mod file;
pub mod history;
pub mod inspection;
mod json;
pub mod keypad;
pub mod plan;
pub mod settings;
pub mod sheet;
mod shell;
pub mod store;
pub mod trace;
pub mod view;
pub mod work;
