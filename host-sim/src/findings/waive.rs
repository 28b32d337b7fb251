//! Waivers: a finding that somebody accepts, with a reason and a last day.

use std::time::{SystemTime, UNIX_EPOCH};

use super::Finding;
use super::finding::cue_number;
use crate::project::{Day, Waiver};

/// Today in UTC.
pub fn today() -> Day {
    let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs());
    day_of(seconds / 86_400)
}

/// Reads "2031-05-09".
///
/// # Errors
/// A sentence for people.
pub fn parse_day(text: &str) -> Result<Day, String> {
    let wrong = || "a day looks like 2031-05-09".to_owned();
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return Err(wrong()) };
    let digits = |s: &str, n: usize| s.len() == n && s.chars().all(|c| c.is_ascii_digit());
    if !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
        return Err(wrong());
    }
    let number = |s: &str| s.parse::<u16>().map_err(|_| wrong());
    let (year, month, day) = (number(year)?, number(month)? as u8, number(day)? as u8);
    let exists = (1..=12).contains(&month) && (1..=month_days(year, month)).contains(&day);
    exists.then_some(Day { year, month, day }).ok_or_else(|| format!("there is no {text}"))
}

fn month_days(year: u16, month: u8) -> u8 {
    let leap = (year.is_multiple_of(4) && !year.is_multiple_of(100)) || year.is_multiple_of(400);
    match month {
        2 => 28 + u8::from(leap),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// The day `days` days after 1970-01-01, Gregorian.
pub fn day_of(days: u64) -> Day {
    let mut left = days;
    let mut day = Day { year: 1970, month: 1, day: 1 };
    loop {
        let month = u64::from(month_days(day.year, day.month));
        if left < month {
            day.day = left as u8 + 1;
            return day;
        }
        left -= month;
        (day.year, day.month) = if day.month == 12 { (day.year + 1, 1) } else { (day.year, day.month + 1) };
    }
}

/// True when the waiver names this finding, whatever the day: its kind, and what it is about when it says
/// that: the subject, the person, another thing concerned, the shot, or "cue 4.5".
pub fn names(waiver: &Waiver, finding: &Finding) -> bool {
    if waiver.finding != finding.id.code() {
        return false;
    }
    let Some(about) = waiver.about.as_deref() else { return true };
    let cue = finding.cue.map(|c| format!("cue {}", cue_number(c)));
    let named = [Some(finding.about.as_str()), finding.who.as_deref(), finding.shot.as_deref(), cue.as_deref()];
    named.into_iter().flatten().chain(finding.things.iter().map(String::as_str)).any(|name| name == about)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_exist_are_days() {
        assert_eq!(parse_day("2028-02-29"), Ok(Day { year: 2028, month: 2, day: 29 }));
        for text in ["2027-02-29", "2100-02-29", "2027-13-01", "2027-00-10", "2027-1-01", "27-01-01", "2027-01-01-1"] {
            assert!(parse_day(text).is_err(), "{text}");
        }
    }

    /// POSIX.1-2017, 4.16 "Seconds since the Epoch": 86,400 seconds a day from 1970-01-01. The day counts
    /// were converted with coreutils' `date -u -d @SECONDS`.
    #[test]
    fn days_since_the_epoch_give_the_civil_day() {
        for (days, text) in [(0, "1970-01-01"), (11_016, "2000-02-29"), (19_782, "2024-02-29"), (19_783, "2024-03-01")]
        {
            assert_eq!(day_of(days).to_string(), text);
        }
    }
}
