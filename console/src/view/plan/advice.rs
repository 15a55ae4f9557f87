//! How big to cut by what the book holds, and why: figures as the station's dial counts.

use super::rows::{Row, Sheet};
use super::sizes::{amount, to_leave};
use crate::advice::Telling;
use crate::plan::FirstSize;
use crate::view::Figure;
use bevelbook_core::sizing::{Advice, Basis, Dial, Dialled, Ladder, Rung, Size};
use bevelbook_core::units::Length;

view! {
    /// What the book tells of a frame. Sizes are over the traced shape, on the basis of the dial.
    pub AdviceView of (told: &Telling, dial: &Dial, pair: bool) with {
        let advice = &told.advice;
        let second = pair && advice.second.first().is_some();
        let passes = advice.tenths.map(|tenths| Figure::tenths(tenths.into()));
        let loose = told.loose.map(Figure::share);
    } {
        basis: Basis = advice.basis,
        /// The size to begin with and those that follow, of the eye that is sized first.
        first: Vec<RungView> = rungs(&advice.first),
        first_passes: Figure = passes[0],
        /// Of so many lenses in a hundred that are sized so it is expected that they become loose.
        first_loose_percent: Figure = loose[0],
        /// The same of the other eye; none where no lens is made for it.
        second: Option<Vec<RungView>> = second.then(|| rungs(&advice.second)),
        second_passes: Option<Figure> = second.then_some(passes[1]),
        second_loose_percent: Option<Figure> = second.then_some(loose[1]),
        /// Whether its sizes are over that at which the first one fitted, and not over the traced shape.
        second_from_fit: bool = advice.second_from_fit,
        /// How many lenses of this model and size came to an end at any station, and between which sizes they fitted at the one
        /// for which it is told; where none did there, between which they do by what was learned of both.
        lenses: usize = told.lenses,
        fitted_mm: Option<[Figure; 2]> = advice.fitted.map(|sizes| sizes.map(signed)),
        /// How many of any model it was learned from.
        learned_from_lenses: usize = told.of_any,
        learned_from_models: usize = told.models,
        /// What the station adds by now to the sizes at which lenses fit.
        station_offset_mm: Figure = offset(told, dial),
        /// What only the whole plan says.
        #[serde(skip)]
        pub(super) detail: Vec<(&'static str, String)> = detail(told, second, offset(told, dial)),
        /// Both ladders side by side.
        #[serde(skip)]
        pub ladders: Vec<Row> = ladders(advice, second, dial),
    }
}

view! {
    /// A size, and the next one by what was felt there.
    pub RungView of (rung: Rung) {
        pub(in crate::view) size_mm: Figure = signed(rung.at),
        pub(in crate::view) much_mm: Figure = signed(rung.far),
        pub(in crate::view) touch_mm: Figure = signed(rung.just),
    }
}

fn rungs(ladder: &Ladder) -> Vec<RungView> {
    ladder.rungs().map(RungView::of).collect()
}

fn signed(size: Length) -> Figure {
    Figure::from(size).to(2, 3).signed()
}

fn offset(told: &Telling, dial: &Dial) -> Figure {
    let offset = Length::from_milli((told.offset.mean * 1000.0).round() as i32);
    Figure::from(Size { basis: Basis::Diameter, offset }.on(dial.basis)).to(2, 2).signed()
}

/// What to dial first by the book; none where it tells nothing of that.
pub(super) fn first_dialled(told: Option<&Telling>, dial: &Dial) -> Option<Dialled> {
    let first = told?.advice.on(dial, None).first()?;
    Some(dial.leaving(first, None))
}

/// What to dial first by the book, beside the shop's default.
pub(super) fn first_words(told: &Telling, advised: Dialled, default: &FirstSize) -> String {
    let default = match default.dialled {
        Some(default) if default == advised => "shop default too".to_owned(),
        Some(default) => format!("shop default {}", amount(default)),
        None => format!("shop default {}", default.habit),
    };
    let Dialled { basis, .. } = advised;
    format!("{} on {basis} ({default}); {}", to_leave(advised), expect(told.advice.tenths[0]))
}

/// What to dial for the other eye by the book, once the first one fits.
pub(super) fn second_words(Telling { advice, .. }: &Telling, dial: &Dial) -> Option<String> {
    let first = advice.second.first()?;
    let over = signed(first);
    let size = match over.signum() {
        _ if !advice.second_from_fit => {
            let next = dial.leaving(first, None);
            format!("{} on {}", to_leave(next), next.basis)
        }
        0 => "at the first one's fit".to_owned(),
        1 => format!("{} over the first one's fit", over.abs()),
        _ => format!("{} under the first one's fit", over.abs()),
    };
    Some(format!("{size}; {}", expect(advice.tenths[1])))
}

/// Why a dial whose steps are larger than the window of fit is advised nothing.
pub(in crate::view) const COARSE: &str = "one step of the dial can lead from too big to loose";

/// How many passes it takes in the mean.
pub(in crate::view) fn expect(tenths: u8) -> String {
    match tenths {
        ..=10 => "expect one pass".to_owned(),
        _ => format!("expect {} passes", Figure::tenths(tenths.into())),
    }
}

/// Why the book tells so, in a line at the bench: at length in at most 39 columns, and in brief in 29.
pub(crate) fn why(advice: &Advice, basis: Basis) -> [String; 2] {
    let Some([least, most]) = advice.fitted_on(basis) else {
        return ["first of this model: by other models", "by the shop's other models"].map(str::to_owned);
    };
    let many = if advice.lenses == u8::MAX { "255+".to_owned() } else { advice.lenses.to_string() };
    let range = match least == most {
        true => format!("at {}", signed(least)),
        false => format!("{} to {}", signed(least), signed(most)),
    };
    ["of this model ", ""].map(|of| format!("[{many} {of}fitted {range}]"))
}

/// What it rests on where no lens of this model and size fitted.
pub(super) fn of_others(told: &Telling) -> String {
    let models = if told.models == 1 { "one model".into() } else { format!("{} models", told.models) };
    let lenses = if told.of_any == 1 { "one lens".into() } else { format!("{} lenses", told.of_any) };
    let others = format!("goes by {lenses} of {models}");
    match told.lenses {
        0 => format!("first of this model and size; {others}"),
        _ => format!("no lens fitted; {} loose; {others}", told.lenses),
    }
}

fn detail(told: &Telling, second: bool, offset: Figure) -> Vec<(&'static str, String)> {
    let [first_loose, second_loose] = told.loose.map(chance);
    let loose = match second {
        true => format!("first eye {first_loose}, second eye {second_loose}"),
        false => first_loose,
    };
    let models = if told.models == 1 {
        "one model and size".into()
    } else {
        format!("{} models and sizes", told.models)
    };
    let limit = Figure::share(told.limit);
    let loose = format!("{loose}; your limit: {limit:#} of all lenses");
    let learned = match told.of_any {
        1 => format!("one lens of {models}"),
        many => format!("the newest {many} lenses of {models}"),
    };
    let station = match offset.to_string().as_str() {
        "0.00" => None,
        _ => {
            let those =
                told.beside.as_ref().map_or("on a fresh station".to_owned(), |other| format!("at {other}"));
            Some(format!("lenses fit at sizes {offset} off those {those}; taken into account"))
        }
    };
    let detail = [("ends loose", Some(loose)), ("learned from", Some(learned)), ("station", station)];
    detail.into_iter().filter_map(|(name, words)| Some((name, words?))).collect()
}

/// How probable it is that a lens becomes loose.
pub(in crate::view) fn chance(share: f64) -> String {
    // Two figures say enough.
    let one_in = |tens: f64| Figure::count(((1.0 / share / tens).round() * tens) as u64);
    match share {
        ..1e-5 => "less than 1 in 100000".to_owned(),
        ..1e-2 => format!(
            "{:#} (1 in {})",
            Figure::share(share),
            one_in(10f64.powf((1.0 / share).log10().floor() - 1.0))
        ),
        _ => format!("{:#}", Figure::share(share)),
    }
}

/// Under each other: the size, the next one after much too big, and after a touch.
fn ladders(advice: &Advice, second: bool, dial: &Dial) -> Vec<Row> {
    let next = |at: Length, next: Length| amount(dial.leaving(next, Some(at))).to_string();
    let line = |rung: Rung| [signed(rung.at).to_string(), next(rung.at, rung.far), next(rung.at, rung.just)];
    let columns = |[size, much, touch]: [String; 3]| format!("{size:<9}{much:<10}{touch}");
    let heads = || ["size", "if much", "if a touch"].map(str::to_owned);
    let of = |ladder: &Ladder, whose: &str| {
        let table = std::iter::once(heads()).chain(ladder.rungs().map(line)).map(columns);
        std::iter::once(whose.to_owned()).chain(table).collect::<Vec<_>>()
    };
    let first = of(&advice.first, "first eye");
    let over = if advice.second_from_fit { "second, over the first" } else { "second eye" };
    let second = if second { of(&advice.second, over) } else { Vec::new() };
    let at = |lines: &[String], line: usize| lines.get(line).cloned().unwrap_or_default();
    let row = |line: usize| {
        let name = if line == 0 { "by the book" } else { "" };
        Row { name, sheet: Sheet::Left, card: false, eyes: [at(&first, line), at(&second, line)] }
    };
    (0..first.len().max(second.len())).map(row).collect()
}
