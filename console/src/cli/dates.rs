//! Dates as people write them, and which day they mean.
//!
//! A whole date says itself. What leaves the year out, or names a day of the week, means the next such day where something
//! is promised and the last one where something was written; that is told with the day it was read as. Figures with dots
//! are day first. With strokes they are read day first too where both readings are possible, and that is told: whoever
//! writes the month first hears what to write.

use super::arguments::wrong;
use jiff::civil::{Date, Weekday};
use jiff::{Span, ZonedDateTime};

/// A date as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ReadDate {
    /// The day.
    pub(crate) date: Date,
    /// What of it was interpreted.
    pub(crate) told: Option<String>,
}

/// Where a day without a year lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Today or later.
    Coming,
    /// Today or earlier.
    Past,
}

/// What a text says of a day.
#[derive(Clone, Copy)]
enum Said {
    /// Day, month and year, and whether month and day could change places.
    Day { day: i8, month: i8, year: Option<i16>, either: bool },
    /// A day of the week.
    Weekday(Weekday),
    /// So many days after today.
    After(i32),
}

const DAYS: [(&str, Weekday); 7] = [
    ("monday", Weekday::Monday),
    ("tuesday", Weekday::Tuesday),
    ("wednesday", Weekday::Wednesday),
    ("thursday", Weekday::Thursday),
    ("friday", Weekday::Friday),
    ("saturday", Weekday::Saturday),
    ("sunday", Weekday::Sunday),
];
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// Today, by the clock and where this machine is.
pub(crate) fn today() -> Date {
    ZonedDateTime::now().date()
}

/// When something is promised.
pub(crate) fn due(text: &str) -> Result<ReadDate, String> {
    read(text, today(), Way::Coming)
}

/// When something was done.
pub(crate) fn past(text: &str) -> Result<ReadDate, String> {
    read(text, today(), Way::Past)
}

fn read(text: &str, today: Date, way: Way) -> Result<ReadDate, String> {
    let example = match way {
        Way::Coming => "2026-11-28, 28.11.2026, 28/11 or fri",
        Way::Past => "2026-11-28, 28.11.2026, 28/11 or yesterday",
    };
    let expected = "a date that there is, or a day of the week";
    understood(text, today, way).ok_or_else(|| wrong(text, expected, example))
}

fn understood(text: &str, today: Date, way: Way) -> Option<ReadDate> {
    let typed = text.trim().to_lowercase();
    let said = by_word(&typed).or_else(|| in_figures(&typed)).or_else(|| with_month(&typed))?;
    let date = said.on(today, way)?;
    let as_read = || format!("read as {}, {date}", date.strftime("%A"));
    let told = match said {
        Said::Day { day, month, either: true, .. } => {
            let other = Said::Day { day: month, month: day, year: Some(date.year()), either: false };
            let other =
                other.on(today, way).map(|other| format!("; if the month comes first, write {other}"));
            Some(format!("{typed} was {}: the day first{}", as_read(), other.unwrap_or_default()))
        }
        Said::Day { year: Some(_), .. } => None,
        _ => Some(format!("{typed} was {}", as_read())),
    };
    Some(ReadDate { date, told })
}

impl Said {
    /// The day that is meant.
    fn on(self, today: Date, way: Way) -> Option<Date> {
        match self {
            Self::Day { day, month, year: Some(year), .. } => Date::new(year, month, day).ok(),
            Self::Day { day, month, year: None, .. } => {
                // A 29th of February comes again within eight years.
                let years = (0..=8).map(|years| match way {
                    Way::Coming => today.year() + years,
                    Way::Past => today.year() - years,
                });
                let fits = |date: &Date| if way == Way::Coming { *date >= today } else { *date <= today };
                years.filter_map(|year| Date::new(year, month, day).ok()).find(fits)
            }
            Self::Weekday(day) => today.nth_weekday(if way == Way::Coming { 1 } else { -1 }, day).ok(),
            Self::After(days) => today.checked_add(Span::new().try_days(days).ok()?).ok(),
        }
    }
}

fn by_word(typed: &str) -> Option<Said> {
    match typed {
        "today" => return Some(Said::After(0)),
        "tomorrow" => return Some(Said::After(1)),
        "yesterday" => return Some(Said::After(-1)),
        _ => {}
    }
    let day = DAYS.iter().find(|(name, _)| typed.len() >= 3 && name.starts_with(typed))?;
    Some(Said::Weekday(day.1))
}

/// Year, month and day, or day, month and year, with one kind of mark between them.
fn in_figures(typed: &str) -> Option<Said> {
    let mark = typed.chars().find(|letter| !letter.is_ascii_digit()).filter(|mark| ".-/".contains(*mark))?;
    // A dot behind the month belongs to it.
    let typed = if mark == '.' { typed.strip_suffix('.').unwrap_or(typed) } else { typed };
    let parts: Vec<&str> = typed.split(mark).collect();
    let (first, second, year) = match parts[..] {
        [year, month, day] if year.len() == 4 => {
            return Some(Said::Day {
                day: figure(day)?,
                month: figure(month)?,
                year: full_year(year),
                either: false,
            });
        }
        [first, second, year] => (figure(first)?, figure(second)?, Some(full_year(year)?)),
        [first, second] => (figure(first)?, figure(second)?, None),
        _ => return None,
    };
    let month_first = mark != '.' && first <= 12 && second > 12;
    let (day, month) = if month_first { (second, first) } else { (first, second) };
    let either = mark != '.' && day <= 12 && day != month;
    Some(Said::Day { day, month, year, either })
}

/// A day beside the name of a month, with its year or without.
fn with_month(typed: &str) -> Option<Said> {
    let parts: Vec<&str> = typed.split([' ', ',', '.', '-']).filter(|part| !part.is_empty()).collect();
    let (day, month, year) = match parts[..] {
        [one, other] => (one, other, None),
        [one, other, year] => (one, other, Some(full_year(year)?)),
        _ => return None,
    };
    let (day, month) =
        if day.starts_with(|c: char| c.is_ascii_digit()) { (day, month) } else { (month, day) };
    let day = ["st", "nd", "rd", "th"].iter().find_map(|end| day.strip_suffix(end)).unwrap_or(day);
    let month = MONTHS.iter().position(|name| month.len() >= 3 && name.starts_with(month))?;
    Some(Said::Day { day: figure(day)?, month: i8::try_from(month).ok()? + 1, year, either: false })
}

/// A day or a month: one digit or two.
fn figure(text: &str) -> Option<i8> {
    ((1..=2).contains(&text.len())).then(|| text.parse().ok())?
}

/// A year of four digits; one of two is none.
fn full_year(text: &str) -> Option<i16> {
    (text.len() == 4).then(|| text.parse().ok())?.filter(|year| *year >= 1900)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// A Saturday.
    const TODAY: Date = date(2026, 11, 28);

    fn due(text: &str) -> Result<ReadDate, String> {
        read(text, TODAY, Way::Coming)
    }

    fn past(text: &str) -> Result<ReadDate, String> {
        read(text, TODAY, Way::Past)
    }

    #[test]
    fn a_whole_date_says_itself() {
        for text in [
            "2026-12-03",
            "2026/12/3",
            "3.12.2026",
            "03.12.2026",
            "3 dec 2026",
            "Dec 3rd, 2026",
            "3-dec-2026",
        ] {
            for read in [due(text), past(text)] {
                assert_eq!(read, Ok(ReadDate { date: date(2026, 12, 3), told: None }), "{text}");
            }
        }
        assert_eq!(due("12/31/2026").map(|read| (read.date, read.told)), Ok((date(2026, 12, 31), None)));
    }

    #[test]
    fn without_a_year_it_is_the_next_one_promised_and_the_last_one_written() {
        for (text, coming, past_day) in [
            ("28/11", date(2026, 11, 28), date(2026, 11, 28)),
            ("29.11.", date(2026, 11, 29), date(2025, 11, 29)),
            ("27 nov", date(2027, 11, 27), date(2026, 11, 27)),
            ("feb 29", date(2028, 2, 29), date(2024, 2, 29)),
            ("today", TODAY, TODAY),
            ("Tomorrow", date(2026, 11, 29), date(2026, 11, 29)),
            ("yesterday", date(2026, 11, 27), date(2026, 11, 27)),
            ("fri", date(2026, 12, 4), date(2026, 11, 27)),
            ("Saturday", date(2026, 12, 5), date(2026, 11, 21)),
        ] {
            let (due, past_one) = (due(text).unwrap(), past(text).unwrap());
            assert_eq!((due.date, past_one.date), (coming, past_day), "{text}");
            assert!(due.told.is_some_and(|told| told.contains("read as")), "{text}");
        }
    }

    #[test]
    fn where_day_and_month_could_change_places_it_is_told_which_was_read() {
        let read = due("3/4").unwrap();
        assert_eq!(read.date, date(2027, 4, 3));
        assert_eq!(
            read.told.as_deref(),
            Some(
                "3/4 was read as Saturday, 2027-04-03: the day first; if the month comes first, write 2027-03-04"
            )
        );
        assert!(past("3/4/2026").unwrap().told.unwrap().ends_with("write 2026-03-04"));
        for plain in ["3.4.2027", "4/4/2027"] {
            assert_eq!(due(plain).unwrap().told, None, "{plain}");
        }
    }

    #[test]
    fn what_is_no_day_is_refused_with_the_form_of_one() {
        for text in [
            "",
            "30.2.2026",
            "28.11.26",
            "2026-02-30",
            "13/13",
            "fr",
            "next fri",
            "28",
            "0/1",
            "11 2026",
            "nov 31",
        ] {
            let said = due(text).unwrap_err();
            assert!(said.contains("2026-11-28, 28.11.2026, 28/11 or fri"), "{text}: {said}");
            assert!(past(text).is_err(), "{text}");
        }
    }
}
