//! The orders of a file as they are understood, and everything that is wrong with them.

use super::Failure;
use super::order_file::{self, Written};
use super::order_form::Form;
use super::order_understood::{Before, Understood};
use crate::desk::Severity;
use std::path::Path;

/// All orders of a file, or what is wrong with them, each with its number.
pub(crate) fn read(before: &Before, path: &Path) -> Result<Vec<Understood>, Failure> {
    let written = order_file::read(path)?;
    let mut form = Form::new();
    let (mut orders, mut wrong) = (Vec::new(), Vec::<String>::new());
    for (at, written) in written.iter().enumerate() {
        match understood(&mut form, written, before)? {
            Ok(order) => orders.push(order),
            Err(said) => wrong.push(said.iter().map(|said| format!("\n  {}", numbered(at, said))).collect()),
        }
    }
    if wrong.is_empty() {
        return Ok(orders);
    }
    let (many, all, path) = (wrong.len(), written.len(), path.display());
    let list = wrong.concat();
    Err(Failure::Use(format!(
        "{path}: {many} of {all} orders cannot be opened, and nothing was saved:{list}"
    )))
}

/// What is said of the order at a place of the file, counted from 0.
pub(crate) fn numbered(at: usize, said: &str) -> String {
    format!("order {}, {said}", at + 1)
}

/// An order of a file, or all that is wrong with it, each with its line and its field.
fn understood(
    form: &mut Form,
    written: &Written,
    before: &Before,
) -> Result<Result<Understood, Vec<String>>, Failure> {
    let Written { line, fields } = written;
    let told = |line: usize, field: &str, said: &str| {
        format!("line {line}, {field}: {}", said.replace('\n', "\n    "))
    };
    let misread = fields.iter().filter_map(|(line, given)| {
        let said = form.check(given).err()?;
        Some(told(*line, &given.field, &said))
    });
    let misread: Vec<String> = misread.collect();
    if !misread.is_empty() {
        return Ok(Err(misread));
    }
    let given: Vec<_> = fields.iter().map(|(_, given)| given.clone()).collect();
    let whole = form
        .flags(&given)
        .map_err(Failure::Use)
        .and_then(|flags| Understood::of(&flags, None, before.work.as_ref()));
    let mut order = match whole {
        Ok(order) => order,
        Err(Failure::Fault(why)) => return Err(Failure::Fault(why)),
        Err(Failure::Use(said) | Failure::NotFound(said)) => {
            return Ok(Err(vec![format!("line {line}: {}", said.replace('\n', "\n    "))]));
        }
    };
    let remarks = before.reviewed(&mut order.new.order)?;
    let refused = remarks.iter().filter(|remark| remark.severity == Severity::Refused).map(|remark| {
        let own = |field: &&str| fields.iter().find(|(_, given)| given.field == **field);
        let at = remark.fields().iter().find_map(own).map_or(*line, |(line, _)| *line);
        told(at, &remark.place, &remark.text)
    });
    let refused: Vec<String> = refused.collect();
    Ok(if refused.is_empty() { Ok(order) } else { Err(refused) })
}
