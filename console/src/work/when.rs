//! When a record was made, as it is shown: by the console's clock, by the keypad's own, or between what is known. Its only words.

use super::holding::{Between, Line};
use jiff::tz::TimeZone;
use jiff::{RoundMode, Timestamp, TimestampRound, Unit};

/// When a record was made, as far as that is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct When {
    pub(crate) at: Option<Timestamp>,
    by_clock: bool,
    pub(crate) between: Between,
    ticks_ms: Option<u32>,
}

/// How a day and an hour are written.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TimeStyle {
    /// The day, where it is to be told.
    pub(crate) day: Option<&'static str>,
    /// The hour of a time that is known.
    pub(crate) hour: &'static str,
}

impl TimeStyle {
    /// As in a list of records.
    pub(crate) const LISTED: Self = Self { day: Some("%Y-%m-%d"), hour: "%H:%M" };
    /// As it comes in at the bench, of that day as a rule.
    pub(crate) const LIVE: Self = Self { day: None, hour: "%H:%M:%S" };
    /// As on paper.
    pub(crate) const PRINTED: Self = Self { day: Some("%-d %b"), hour: "%H:%M" };
}

impl When {
    /// As a console knows it, or nothing is known.
    pub(crate) fn at(at: Option<Timestamp>) -> Self {
        Self { at, ..Self::default() }
    }

    pub(crate) fn of(line: &Line) -> Self {
        let between = line.between.unwrap_or_default();
        Self { at: line.at, by_clock: line.by_clock, between, ticks_ms: line.ticks.map(|(_, ticks)| ticks) }
    }

    /// The day, where all that is known lies within one.
    pub(crate) fn day(&self, zone: &TimeZone, style: TimeStyle) -> Option<String> {
        let Between { after, before } = self.between;
        let of = |at: Timestamp| style.day.map(|day| told(at, zone, day));
        match (self.at, after, before) {
            (Some(at), ..) => of(at),
            (None, Some(after), Some(before)) => {
                of(after).filter(|day| of(upper(before)) == Some(day.clone()))
            }
            _ => None,
        }
    }

    /// In words: the day first, where it is told and there is one.
    pub(crate) fn words(&self, zone: &TimeZone, style: TimeStyle) -> String {
        let day = self.day(zone, style);
        let head = day.as_ref().map_or_else(String::new, |day| format!("{day} "));
        if let Some(at) = self.at {
            // What the keypad dated itself was worked alone, perhaps on another day.
            return match (self.by_clock, style.day) {
                (true, None) => format!("{}, by the keypad's own clock", told(at, zone, "%Y-%m-%d %H:%M")),
                (true, Some(_)) => format!("{head}{}, by the keypad's own clock", told(at, zone, style.hour)),
                (false, _) => format!("{head}{}", told(at, zone, style.hour)),
            };
        }
        let Between { after, before } = self.between;
        let before = before.map(upper);
        let of_day = |at: Timestamp| at.to_zoned_datetime(zone.clone()).date();
        let bare = after.is_some() && after.map(of_day) == before.map(of_day);
        // Where the clocks were changed between, an hour alone may come twice.
        let offset = |at: Timestamp| zone.to_offset(at);
        let changed = after.zip(before).is_some_and(|(after, before)| offset(after) != offset(before));
        let hour = if changed { "%H:%M %Z" } else { "%H:%M" };
        let full = format!("{} {hour}", style.day.unwrap_or("%Y-%m-%d"));
        let bound = |at| told(at, zone, if bare { hour } else { &full });
        let after = after.map(|at| format!("after {}", bound(at)));
        let before = before.map(|at| format!("before {}", bound(at)));
        let start = self.ticks_ms.map(|ms| format!("{} after its start", lasting(ms)));
        let undated = (after.is_none() && before.is_none()).then(|| "undated".to_owned());
        head + &[undated, after, before, start].into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}

fn told(at: Timestamp, zone: &TimeZone, format: &str) -> String {
    at.to_zoned_datetime(zone.clone()).strftime(format).to_string()
}

/// The whole minute that a bound is not behind.
fn upper(at: Timestamp) -> Timestamp {
    at.round(TimestampRound::new().smallest(Unit::Minute).mode(RoundMode::Ceil)).unwrap_or(at)
}

/// Seconds, minutes or hours, as many as are over.
fn lasting(ms: u32) -> String {
    match ms / 1000 {
        s @ 0..120 => format!("{s} s"),
        s @ 120..7200 => format!("{} min", s / 60),
        s => format!("{} h {} min", s / 3600, s / 60 % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(text: &str) -> Option<Timestamp> {
        Some(text.parse().unwrap())
    }

    fn undated(after: Option<Timestamp>, before: Option<Timestamp>, ticks_ms: u32) -> When {
        When { between: Between { after, before }, ticks_ms: Some(ticks_ms), ..When::default() }
    }

    fn says(when: When) -> [String; 3] {
        [TimeStyle::LISTED, TimeStyle::LIVE, TimeStyle::PRINTED]
            .map(|written| when.words(&TimeZone::UTC, written))
    }

    #[test]
    fn what_lies_within_a_day_is_said_in_hours_to_whole_minutes_that_hold_it() {
        let within = undated(time("2026-11-28T20:56:59Z"), time("2026-11-28T20:59:01Z"), 8400);
        let said = "after 20:56, before 21:00, 8 s after its start";
        assert_eq!(says(within), [format!("2026-11-28 {said}"), said.into(), format!("28 Nov {said}")]);
        assert_eq!(within.day(&TimeZone::UTC, TimeStyle::PRINTED), Some("28 Nov".into()));
    }

    #[test]
    fn what_spans_days_or_is_open_says_the_days_and_what_is_not_known_at_all_says_so() {
        let over_night = undated(time("2026-11-27T20:56:00Z"), time("2026-11-28T08:00:00Z"), 7_500_000);
        let said = "after 2026-11-27 20:56, before 2026-11-28 08:00, 2 h 5 min after its start";
        let [listed, live, printed] = says(over_night);
        assert_eq!((&*listed, &*live), (said, said));
        assert_eq!(printed, "after 27 Nov 20:56, before 28 Nov 08:00, 2 h 5 min after its start");
        assert_eq!(over_night.day(&TimeZone::UTC, TimeStyle::PRINTED), None);
        let [listed, ..] = says(undated(None, time("2026-11-28T08:00:01Z"), 150_000));
        assert_eq!(listed, "before 2026-11-28 08:01, 2 min after its start");
        assert_eq!(says(undated(None, None, 0)), ["undated, 0 s after its start"; 3]);
        assert_eq!(says(When::default()), ["undated"; 3]);
    }

    #[test]
    fn where_the_clocks_were_put_back_between_it_says_which_hour_is_meant() {
        let night = undated(time("2026-10-25T00:50:00Z"), time("2026-10-25T01:10:00Z"), 0);
        let said = night.words(&TimeZone::get("Europe/Berlin").unwrap(), TimeStyle::LISTED);
        assert_eq!(said, "2026-10-25 after 02:50 CEST, before 02:10 CET, 0 s after its start");
    }

    #[test]
    fn a_date_says_whose_clock_it_is_by_where_that_is_the_keypads() {
        let console = When::at(time("2026-11-28T20:56:59Z"));
        assert_eq!(says(console), ["2026-11-28 20:56", "20:56:59", "28 Nov 20:56"]);
        let own = When { by_clock: true, ..console };
        let said = "2026-11-28 20:56, by the keypad's own clock";
        assert_eq!(says(own), [said, said, "28 Nov 20:56, by the keypad's own clock"]);
    }
}
