//! The show as a whole: rate, look, naming, light, control, limits, waivers.

use underfoot_core::show::{Control, FrameRate, Look, Timecode, Title};

use super::resolver::{Resolver, metres};
use crate::project::model::{CheckLimits, Day, Light, Naming, Note, Waiver};
use crate::project::raw::RawFile;
use crate::project::raw::desk::RawRate;

/// Dance numbers nearer than this would run into each other, metres.
const NUMBERS_APART_M: f64 = 0.25;

impl Resolver<'_> {
    pub(super) fn head(&mut self, raw: &RawFile) {
        let head = &raw.show;
        self.put("show", 0, "show");
        self.put("look", 0, "look");
        self.show.title = Title::try_from(head.title.0.as_str()).unwrap_or_default();
        self.show.latency_ms = head.latency_ms;
        match parse_rate(&head.frame_rate) {
            Some(rate) => self.show.frame_rate = rate,
            None => {
                let what = "`frame_rate` cannot be read";
                self.fault("show.frame_rate", what, "write 25, 50, \"29.97\" or \"30000/1001\"");
            }
        }
        let numbers_m = raw.look.numbers_m;
        if numbers_m > 0.0 && numbers_m < NUMBERS_APART_M {
            let what = format!("dance numbers {numbers_m} m apart would run into each other");
            let remedy = format!("write {NUMBERS_APART_M} or more, or 0 for none");
            self.fault("look.numbers_m", what, remedy);
        }
        self.show.look = Look {
            brief_level: raw.look.brief_level,
            air_level: raw.look.air_level,
            line_m: metres(raw.look.line_mm),
            keyline_m: metres(raw.look.keyline_mm),
            pulse_hz: raw.look.pulse_hz as f32,
            numbers_m: numbers_m as f32,
        };
    }

    pub(super) fn waivers(&mut self, raw: &RawFile) -> Vec<Waiver> {
        let mut waivers = Vec::new();
        for (i, w) in raw.waiver.iter().enumerate() {
            let path = format!("waiver[{i}]");
            self.put("waivers", i, &path);
            let Some(until) = parse_day(&w.until.0) else {
                self.fault(
                    &format!("{path}.until"),
                    format!("\"{}\" is not a day", w.until.0),
                    "write year-month-day, like 2027-03-31",
                );
                continue;
            };
            waivers.push(Waiver {
                finding: w.finding.clone(),
                about: w.about.clone(),
                reason: w.reason.clone(),
                by: w.by.clone(),
                until,
            });
        }
        waivers
    }

    pub(super) fn control(&mut self, raw: &RawFile) -> Option<Timecode> {
        let c = &raw.control;
        self.show.control = Control {
            backup: c.backup_box,
            on_air_contact: c.on_air_contact,
            slots_universe: c.sacn_universe.unwrap_or(0),
            hot: raw.show.hot.0,
        };
        c.timecode_from.as_deref().and_then(|text| self.timecode(text, "control.timecode_from"))
    }
}

pub(super) fn naming(raw: &RawFile) -> Naming {
    let n = &raw.naming;
    Naming { places: n.places.0, lengths: n.lengths.0, grid_m: n.grid_m as f32 }
}

pub(super) fn light(raw: &RawFile) -> Light {
    let l = &raw.light;
    Light {
        key_lux: l.key_lux as f32,
        floor_white_nits: l.floor_white_nits as f32,
        gamma: l.gamma as f32,
        reflectance: (l.reflectance_percent / 100.0) as f32,
    }
}

pub(super) fn limits(raw: &RawFile) -> CheckLimits {
    let l = &raw.limits;
    CheckLimits {
        pace_mps: l.pace_mps as f32,
        start_delay_s: l.start_delay_s.get(),
        settle_s: l.settle_s.get(),
        turn_s: l.turn_s as f32,
        ramp_share: (l.ramp_pace_percent / 100.0) as f32,
        reveal_s: l.reveal_s as f32,
        apart_m: l.apart_m as f32,
        flash_hz: l.flash_hz as f32,
        line_m: metres(l.line_mm.0),
        spill: (l.spill_percent / 100.0) as f32,
    }
}

pub(super) fn notes(raw: &RawFile) -> Vec<Note> {
    let note = |kind, about: &str, text: &Option<crate::project::raw::numbers::NoteText>| {
        text.as_ref().map(|t| Note { kind, about: about.to_owned(), text: t.0.clone() })
    };
    let show = note("show", "", &raw.show.notes).into_iter();
    let props = raw.prop.iter().filter_map(|p| note("prop", &p.name.0, &p.notes));
    let cameras = raw.camera.iter().filter_map(|c| note("camera", &c.name.0, &c.notes));
    let cues = raw.cue.iter().filter_map(|c| note("cue", &c.number.to_string(), &c.notes));
    show.chain(props).chain(cameras).chain(cues).collect()
}

/// A frame rate as an exact fraction. The three decimals are short for n × 1000/1001 (SMPTE ST 12-1).
fn parse_rate(rate: &RawRate) -> Option<FrameRate> {
    let text = match rate {
        RawRate::Whole(num) => return Some(FrameRate { num: *num, den: 1 }),
        RawRate::Text(text) => text.trim(),
    };
    let exact = |num, den| Some(FrameRate { num, den });
    match text {
        "23.976" | "23.98" => exact(24_000, 1001),
        "29.97" => exact(30_000, 1001),
        "59.94" => exact(60_000, 1001),
        "119.88" => exact(120_000, 1001),
        _ => {
            let (num, den) = text.split_once('/').unwrap_or((text, "1"));
            let (num, den): (u32, u32) = (num.trim().parse().ok()?, den.trim().parse().ok()?);
            let rate = f64::from(num) / f64::from(den);
            if (1.0..=240.0).contains(&rate) { exact(num, den) } else { None }
        }
    }
}

/// "hh:mm:ss:ff"; a semicolon before the frames marks drop-frame counting, which 29.97 and 59.94 have.
pub(super) fn parse_timecode(text: &str, rate: FrameRate) -> Result<Timecode, String> {
    let drop = text.contains(';');
    let fields: Vec<&str> = text.split([':', ';']).collect();
    let [h, m, s, f] = fields.as_slice() else { return Err(format!("it has {} fields, not 4", fields.len())) };
    if text.rfind(';') != text.find(';') || (drop && text.find(';') < text.rfind(':')) {
        return Err("the semicolon stands before the frames alone".to_owned());
    }
    let field = |text: &str, limit: u32, what: &str| match text.parse::<u8>() {
        Ok(n) if text.len() == 2 && u32::from(n) < limit => Ok(n),
        _ => Err(format!("{what} are 00 to {:02}", limit - 1)),
    };
    let fps = rate.num.div_ceil(rate.den.max(1)).clamp(1, 100);
    let code = Timecode {
        hours: field(h, 24, "hours")?,
        minutes: field(m, 60, "minutes")?,
        seconds: field(s, 60, "seconds")?,
        frames: field(f, fps, "frames")?,
    };
    if drop && !(rate.den == 1001 && matches!(rate.num, 30_000 | 60_000)) {
        return Err("drop-frame counting belongs to 29.97 and 59.94".to_owned());
    }
    // Drop-frame counting leaves out the first numbers of each minute but the tenth (SMPTE ST 12-1).
    if drop && code.seconds == 0 && !code.minutes.is_multiple_of(10) && u32::from(code.frames) < fps / 15 {
        return Err("drop-frame counting leaves this number out".to_owned());
    }
    Ok(code)
}

fn parse_day(text: &str) -> Option<Day> {
    let mut fields = text.split('-');
    let (y, m, d) = (fields.next()?, fields.next()?, fields.next()?);
    if fields.next().is_some() || (y.len(), m.len(), d.len()) != (4, 2, 2) {
        return None;
    }
    let (year, month, day): (u16, u8, u8) = (y.parse().ok()?, m.parse().ok()?, d.parse().ok()?);
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        2 => 28 + u8::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return None,
    };
    (1..=days).contains(&day).then_some(Day { year, month, day })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_are_exact() {
        let rate = |text: &str| parse_rate(&RawRate::Text(text.to_owned())).map(|r| (r.num, r.den));
        assert_eq!(rate("29.97"), Some((30_000, 1001)));
        assert_eq!(rate("30000/1001"), Some((30_000, 1001)));
        assert_eq!(rate("25"), Some((25, 1)));
        for bad in ["", "0", "1/0", "24.5", "-25", "1000", "25fps", "0/1"] {
            assert_eq!(rate(bad), None, "{bad}");
        }
    }

    #[test]
    fn timecode_knows_the_rate() {
        let (pal, ntsc) = (FrameRate { num: 25, den: 1 }, FrameRate { num: 30_000, den: 1001 });
        assert!(parse_timecode("10:00:05:24", pal).is_ok());
        assert!(parse_timecode("10:00:05:25", pal).is_err());
        assert!(parse_timecode("10:00:05;24", pal).is_err());
        assert!(parse_timecode("10:01:00;02", ntsc).is_ok());
        assert!(parse_timecode("10:01:00;01", ntsc).is_err());
        assert!(parse_timecode("10:10:00;00", ntsc).is_ok());
        assert!(parse_timecode("1:2:3:4", pal).is_err());
        assert!(parse_timecode("10;00:00:00", ntsc).is_err());
    }

    #[test]
    fn days_exist() {
        assert_eq!(parse_day("2028-02-29"), Some(Day { year: 2028, month: 2, day: 29 }));
        for bad in ["2027-02-29", "2027-13-01", "2027-00-01", "2027-1-1", "27-01-01", "2027-01-01T00:00:00"] {
            assert_eq!(parse_day(bad), None, "{bad}");
        }
    }
}
