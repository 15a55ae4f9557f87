//! A card, and a station, from a line of a scenario.

use bevelbook_core::frame::PupillaryDistance;
use bevelbook_core::link::{Card, Station};
use bevelbook_core::prescription::EyeOrder;
use bevelbook_core::record::{CheckItem, Flow, JobId, JobState, PairId, Progress};
use bevelbook_core::sizing::{Advice, Basis, Counting, Dial, Habit, Ladder, Rim, Rung};
use bevelbook_core::tolerance::{Design, Limits, Places, Rule, Standard, Thinning, ThinningKnown};
use bevelbook_core::units::{Length, Prism};

/// The card that `fields` (`name=value`, values with spaces in quotes) describe over a usual one.
pub(crate) fn card(fields: &str) -> Result<Card, String> {
    let mut card = usual();
    let mut places = Places::NONE;
    for (name, value) in pairs(fields)? {
        let set = match name.as_str() {
            // What the shop holds each eye's place to.
            "pd-each" => length(&value)
                .map(|limit| places.pd_each_eye = Some(Rule::fixed(limit.milli(), "the shop's settings"))),
            _ => set(&mut card, &name, &value),
        };
        set.map_err(|why| format!("{name}={value}: {why}"))?;
    }
    card.job = JobId(u64::from(card.number) << 48 | 0x77);
    card.state = JobState::new(PairId { job: card.job, numbers: [1, 1] });
    let table = Standard::AnsiZ801_2015.table().with_places(places);
    card.limits = Some(Limits::of(&table, card.design, &card.order()));
    Ok(card)
}

fn usual() -> Card {
    let mm = Length::from_milli;
    Card {
        number: 1,
        revision: 1,
        label: "Lindgren 7 50/18".try_into().unwrap(),
        eyes: ["-1.25 -0.75 x 15", "-1.50 -0.50 x 170"].map(|text| EyeOrder::parse(text).unwrap()),
        pd: PupillaryDistance::Binocular(mm(62_000)),
        ..Card::blank(JobId(0))
    }
}

/// The station that `fields` describe over a usual one.
pub(crate) fn station(fields: &str) -> Result<Station, String> {
    let dial =
        Some(Dial { basis: Basis::Diameter, counting: Counting::Absolute, step: Length::from_milli(50) });
    let mut station =
        Station { revision: 1, includes_upto: 0, dial, habit: Habit::COMMON, flow: Flow::COMMON };
    for (name, value) in pairs(fields)? {
        let habit = &mut station.habit;
        let figure = length(&value);
        match name.as_str() {
            "dial" => station.dial = self::dial(&value)?,
            "revision" => station.revision = value.parse().map_err(|_| "no number")?,
            "includes" => station.includes_upto = value.parse().map_err(|_| "no number")?,
            "first" => habit.first = [figure?; Rim::ALL.len()],
            "far" => habit.step_far = figure?,
            "just" => habit.step_just = figure?,
            "left-first" => station.flow.left_first = value == "yes",
            "hundredths" => station.flow.hundredths = value == "yes",
            "checks" => station.flow = station.flow.asking(&items(&value)?),
            _ => return Err(format!("a station has no {name}")),
        }
    }
    Ok(station)
}

/// What is looked at, by the words of its records, with commas between.
fn items(value: &str) -> Result<Vec<CheckItem>, String> {
    let item = |key: &str| match key {
        "bevel" => Ok(CheckItem::Bevel),
        "firm" => Ok(CheckItem::Firm),
        "strain" => Ok(CheckItem::Strain),
        "surfaces" => Ok(CheckItem::Surfaces),
        "alignment" => Ok(CheckItem::Alignment),
        _ => Err(format!("nothing is looked at for {key}")),
    };
    value.split(',').filter(|key| !key.is_empty()).map(item).collect()
}

fn set(card: &mut Card, name: &str, value: &str) -> Result<(), String> {
    let eye = |value| EyeOrder::parse(value).map_err(|e| e.to_string());
    match name {
        "number" => card.number = value.parse().map_err(|_| "no number")?,
        "due" => card.due = Some(value.parse().map_err(|_| "no number of days")?),
        "done" => card.progress = if value == "yes" { Progress::Done } else { Progress::NotBegun },
        "tray" => card.tray = value.try_into().map_err(|_| "too long")?,
        "label" => card.label = value.try_into().map_err(|_| "too long")?,
        "right" => card.eyes[0] = eye(value)?,
        "left" => card.eyes[1] = eye(value)?,
        "ordered-right" => card.prescribed[0] = Some(eye(value)?.power),
        "ordered-left" => card.prescribed[1] = Some(eye(value)?.power),
        "thinning" | "thinning-assumed" => {
            let known = if name == "thinning" { ThinningKnown::Ordered } else { ThinningKnown::Assumed };
            card.thinning = Thinning { prism: Prism::from_milli(length(value)?.milli()), known };
        }
        "pd" => card.pd = PupillaryDistance::parse(value).map_err(|e| e.to_string())?,
        "heights" => {
            let (right, left) = value.split_once('/').unwrap_or((value, value));
            card.heights = Some([length(right)?, length(left)?]);
        }
        "rim" => {
            let all = Rim::ALL.into_iter();
            card.rim = all.into_iter().find(|rim| rim.to_string() == value).ok_or("no such rim")?;
        }
        "design" => {
            card.design =
                Design::ALL.into_iter().find(|design| design.to_string() == value).ok_or("no such design")?;
        }
        _ => return advise(card.advice.get_or_insert(NOTHING_TOLD), name, value),
    }
    Ok(())
}

const NOTHING_TOLD: Advice = Advice {
    basis: Basis::Diameter,
    first: Ladder::EMPTY,
    second: Ladder::EMPTY,
    second_from_fit: false,
    lenses: 0,
    fitted: None,
    tenths: [0; 2],
};

fn advise(advice: &mut Advice, name: &str, value: &str) -> Result<(), String> {
    match name {
        "first" => advice.first = ladder(value)?,
        "second" => advice.second = ladder(value)?,
        "second-from-fit" => {
            (advice.second, advice.second_from_fit) = (ladder(value)?, true);
        }
        "lenses" => advice.lenses = value.parse().map_err(|_| "no number")?,
        "fitted" => {
            let (least, most) = value.split_once('/').unwrap_or((value, value));
            advice.fitted = Some([length(least)?, length(most)?]);
        }
        _ => return Err("a card has no such field".into()),
    }
    Ok(())
}

/// Rungs with commas between, each its size and the next one when much and when a touch too big.
fn ladder(value: &str) -> Result<Ladder, String> {
    let rung = |rung: &str| {
        let sizes: Vec<&str> = rung.split('/').collect();
        let [at, far, just] = sizes[..] else { return Err("a rung is SIZE/FAR/JUST".to_owned()) };
        Ok(Rung { at: length(at)?, far: length(far)?, just: length(just)? })
    };
    Ok(Ladder::new(value.split(',').map(rung).collect::<Result<Vec<_>, _>>()?))
}

fn dial(value: &str) -> Result<Option<Dial>, String> {
    if value == "none" {
        return Ok(None);
    }
    let parts: Vec<&str> = value.split('/').collect();
    let [basis, counting, step] = parts[..] else { return Err("a dial is BASIS/absolute/STEP".into()) };
    let basis = Basis::ALL.into_iter().find(|known| known.to_string() == basis).ok_or("no such basis")?;
    let counting = match counting {
        "absolute" => Counting::Absolute,
        from => Counting::TakeOff { from: length(from)? },
    };
    Ok(Some(Dial { basis, counting, step: length(step)? }))
}

fn length(text: &str) -> Result<Length, String> {
    Length::parse(text).map_err(|e| e.to_string())
}

/// `name=value` pairs; a value in quotes may hold spaces.
fn pairs(mut rest: &str) -> Result<Vec<(String, String)>, String> {
    let mut pairs = Vec::new();
    while !rest.trim_start().is_empty() {
        let (name, after) = rest.trim_start().split_once('=').ok_or("expected name=value")?;
        let (value, left) = match after.strip_prefix('"') {
            Some(quoted) => quoted.split_once('"').ok_or("a quote is open")?,
            None => after.split_at(after.find(' ').unwrap_or(after.len())),
        };
        pairs.push((name.to_owned(), value.to_owned()));
        rest = left;
    }
    Ok(pairs)
}
