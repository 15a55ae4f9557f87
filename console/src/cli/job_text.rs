//! A job as text and as JSON.

use super::figures;
use crate::desk::FrameTrace;
use crate::trace::Trace;
use crate::work::Job;
use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::prescription::Eye;
use bevelbook_core::record::JournalId;
use serde_json::{Value, json};

/// The order as it was understood, a few lines.
pub(crate) fn order(job: &Job) -> String {
    let order = &job.order;
    let mut lines = vec![format!("job {}", order.number)];
    let mut add = |name: &str, value: String| lines.push(format!("  {name:<13}{value}"));
    let tray = order.tray.as_ref().map_or(String::new(), |tray| format!(", tray {tray}"));
    add("reference", format!("{}{tray}", order.customer));
    for eye in Eye::BOTH {
        let verify = order
            .verify(eye)
            .map_or(String::new(), |power| format!(", to verify as {power} (the supplier's)"));
        add(&eye.to_string(), format!("{}{verify}", order.eye(eye)));
    }
    let near = order.near_pd.map_or(String::new(), |near| format!(", near {near}"));
    add("PD", format!("{}{near} mm", order.far_pd));
    if let Some([right, left]) = order.heights {
        add("heights", format!("{right}/{left} mm"));
    }
    if let Some([right, left]) = order.centre_thickness {
        add("thickness", format!("{right}/{left} mm at the centre"));
    }
    if let Some([right, left]) = order.front_curve {
        add("front curve", format!("{right}/{left} D"));
    }
    let frame = &order.frame;
    let (size, condition) = (&frame.size, condition(job));
    add(
        "frame",
        format!("{} {}, {} rim{}{condition}", frame.model, frame.label(), frame.rim, of(&frame.material)),
    );
    let ed = size.ed.map_or("not given".to_owned(), |ed| ed.to_string());
    add("boxed sizes", format!("A {}  B {}  DBL {}  ED {ed} mm", size.a, size.b, size.dbl));
    if let Some(trace) = &order.trace {
        add("trace", trace_words(trace));
    }
    let treatments = order.lens.treatments.iter().map(|t| format!(", {t}")).collect::<String>();
    add("lenses", format!("{}, {}{treatments}", order.lens.material, order.lens.design));
    let dates = [("prescribed", order.prescribed), ("due", order.due)];
    for (name, date) in dates {
        if let Some(date) = date {
            add(name, date.to_string());
        }
    }
    lines.join("\n")
}

/// What the order has of a trace.
fn trace_words(trace: &FrameTrace) -> String {
    let shape = |eye: Eye, trace: &Trace| {
        let shape = trace.shape(eye);
        match shape.mirrored {
            true => format!("{eye} the mirror of {}", eye.other()),
            false => format!("{eye} {} points", shape.points.len()),
        }
    };
    match trace.read() {
        Ok(read) => Eye::BOTH.map(|eye| shape(eye, &read)).join(", "),
        Err(error) => error.to_string(),
    }
}

fn of(material: &str) -> String {
    if material.is_empty() { String::new() } else { format!(" of {material}") }
}

fn condition(job: &Job) -> &'static str {
    use crate::desk::Condition;
    match job.order.frame.condition {
        Condition::New => "",
        Condition::Own => ", the customer's own",
        Condition::Worn => ", worn: at the owner's risk",
    }
}

/// A job in one line.
pub(crate) fn line(job: &Job) -> String {
    format!("job {}: {}", job.order.number, job.standing())
}

/// Jobs in a table, soonest due first; without a heading when there are none.
pub(crate) fn table(jobs: &[&Job]) -> String {
    if jobs.is_empty() {
        return String::new();
    }
    let mut sorted = jobs.to_vec();
    sorted.sort_by_key(|job| (job.order.due.is_none(), job.order.due, job.order.number));
    let mut rows = vec!["job", "tray", "reference", "due", "frame", "stands"]
        .into_iter()
        .map(|heading| vec![heading.to_owned()])
        .collect::<Vec<_>>();
    for job in sorted {
        let order = &job.order;
        let cells = [
            order.number.to_string(),
            order.tray.clone().unwrap_or_default(),
            order.customer.clone(),
            order.due.map_or(String::new(), |due| due.to_string()),
            format!("{} {}", order.frame.model, order.frame.label()),
            job.standing(),
        ];
        for (column, cell) in rows.iter_mut().zip(cells) {
            column.push(cell);
        }
    }
    columns(&rows)
}

/// Aligns columns with two spaces between them.
fn columns(columns: &[Vec<String>]) -> String {
    let width = |column: &Vec<String>| column.iter().map(|cell| cell.chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = columns.iter().map(width).collect();
    let rows = columns.first().map_or(0, Vec::len);
    let row = |row: usize| {
        let cells = columns.iter().zip(&widths).map(|(column, width)| format!("{:<width$}", column[row]));
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    (0..rows).map(row).collect::<Vec<_>>().join("\n")
}

/// Every record of a job, a line each; records of the console's `own` journal by their number alone.
pub(crate) fn records(job: &Job, own: JournalId) -> String {
    let mut lines = Vec::new();
    for line in &job.lines {
        let id = if line.id.journal == own { format!("#{}", line.id.seq) } else { line.id.to_string() };
        let at = line.at.map_or("undated".into(), |at| {
            at.to_zoned_datetime(jiff::tz::TimeZone::system()).strftime("%Y-%m-%d %H:%M").to_string()
        });
        let void = if line.void { "VOID  " } else { "" };
        lines.push(format!("  {id:>6}  {at}  {void}{}", line.fact.describe(job.order.frame.rim)));
    }
    lines.join("\n")
}

/// Every record of a job.
pub(crate) fn records_json(job: &Job) -> Value {
    job.lines
        .iter()
        .map(|line| {
            json!({
                "record": line.id.to_string(),
                "at": line.at.map(|at| at.to_string()),
                "void": line.void,
                "says": line.fact.describe(job.order.frame.rim),
            })
        })
        .collect()
}

/// A job.
pub(crate) fn json(job: &Job) -> Value {
    let order = &job.order;
    let size = &order.frame.size;
    json!({
        "job": order.number,
        "id": job.id.to_string(),
        "reference": order.customer,
        "tray": order.tray,
        "due": order.due,
        "prescribed": order.prescribed,
        "right": figures::eye_order(&order.right),
        "left": figures::eye_order(&order.left),
        "right_verify": order.right_verify.map(figures::lens),
        "left_verify": order.left_verify.map(figures::lens),
        "pd": pd(order.far_pd),
        "near_pd": order.near_pd.map(pd),
        "heights_mm": order.heights.map(|heights| heights.map(figures::millimetres)),
        "centre_thickness_mm": order.centre_thickness.map(|both| both.map(figures::millimetres)),
        "front_curve_d": order.front_curve.map(|both| both.map(figures::dioptres)),
        "frame": {
            "model": order.frame.model,
            "a_mm": figures::millimetres(size.a),
            "b_mm": figures::millimetres(size.b),
            "dbl_mm": figures::millimetres(size.dbl),
            "ed_mm": size.ed.map(figures::millimetres),
            "rim": order.frame.rim,
            "material": order.frame.material,
            "condition": order.frame.condition,
        },
        "trace": order.trace.as_ref().map(|trace| json!({
            "lines": trace.lines(),
            "labels_left_out": trace.left_out(),
        })),
        "lens": order.lens,
        "lens_numbers": job.pair().numbers,
        "stands": job.standing(),
        "closed": job.closed.is_some(),
    })
}

fn pd(pd: PupillaryDistance) -> Value {
    match pd {
        PupillaryDistance::Monocular { right, left } => json!({
            "right_mm": figures::millimetres(right),
            "left_mm": figures::millimetres(left),
            "total_mm": figures::millimetres(pd.total()),
        }),
        PupillaryDistance::Binocular(total) => json!({ "total_mm": figures::millimetres(total) }),
    }
}
