//! Waivers: a finding that somebody accepts, with a reason and a last day.

use std::fmt;
use std::time::{SystemTime, UNIX_EPOCH};

use super::Finding;

/// A calendar day, Gregorian.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: i32,
    month: u8,
    day: u8,
}

impl Date {
    /// The day, or `None` when there is no such day.
    pub fn new(year: i32, month: u8, day: u8) -> Option<Self> {
        let leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
        let days = match month {
            2 => 28 + u8::from(leap),
            4 | 6 | 9 | 11 => 30,
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            _ => return None,
        };
        (1..=days).contains(&day).then_some(Self { year, month, day })
    }

    /// Reads "2031-05-09".
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let (year, month, day) = (parts.next()?, parts.next()?, parts.next()?);
        if year.len() != 4 || month.len() != 2 || day.len() != 2 || parts.next().is_some() {
            return None;
        }
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// Today in UTC.
    pub fn today() -> Self {
        let seconds = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_secs());
        Self::from_days((seconds / 86_400) as i64)
    }

    /// The day `days` days after 1970-01-01.
    pub fn from_days(days: i64) -> Self {
        let mut left = days;
        let mut year = 1970;
        let length = |y: i32| if Self::new(y, 2, 29).is_some() { 366 } else { 365 };
        while left >= length(year) {
            left -= length(year);
            year += 1;
        }
        let mut day = Self { year, month: 1, day: 1 };
        for _ in 0..left {
            day = Self::new(year, day.month, day.day + 1).unwrap_or(Self { year, month: day.month + 1, day: 1 });
        }
        day
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// An accepted finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Waiver {
    /// Code of the finding's kind: "mark-near-prop".
    pub finding: String,
    /// What it is about, as the finding's `about`, mark or person; `None` for all of the kind.
    pub about: Option<String>,
    /// Cue in hundredths; `None` for all cues.
    pub cue: Option<u32>,
    /// Why it is accepted.
    pub reason: String,
    /// The last day on which it counts.
    pub until: Date,
    /// Line of the show file, 1 first.
    pub line: Option<usize>,
}

impl Waiver {
    /// True when the waiver names this finding, whatever the day.
    pub fn names(&self, finding: &Finding) -> bool {
        self.finding == finding.id.code()
            && self.cue.is_none_or(|cue| finding.cue == Some(cue))
            && self.about.as_deref().is_none_or(|about| about == finding.about || finding.who.as_deref() == Some(about))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_that_exist_are_dates() {
        assert!(Date::parse("2028-02-29").is_some());
        for text in ["2027-02-29", "2100-02-29", "2027-13-01", "2027-00-10", "2027-1-01", "27-01-01", "2027-01-01-1"] {
            assert!(Date::parse(text).is_none(), "{text}");
        }
    }

    /// POSIX.1-2017, 4.16 "Seconds since the Epoch": 86,400 seconds a day from 1970-01-01; day counts
    /// 11,016 and 19,782 are 2000-02-29 and 2024-02-29 (from memory, checked with `date -d @N -u`).
    #[test]
    fn days_since_the_epoch_give_the_civil_date() {
        for (days, text) in [(0, "1970-01-01"), (11_016, "2000-02-29"), (19_782, "2024-02-29"), (19_783, "2024-03-01")]
        {
            assert_eq!(Date::from_days(days).to_string(), text);
        }
    }
}
