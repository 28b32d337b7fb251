//! The box by a script: steps in lines, simulated time, the same output every time.

use std::path::PathBuf;

use underfoot_core::device::Device;
use underfoot_core::ports::{Key, Levels};
use underfoot_core::units::{Duration, Instant};

use super::Stage;
use super::life::{AtDesk, live, write_floor};
use super::loading::Loader;
use super::says::{self, Grain};
use crate::cli::{Output, Refusal};
use crate::sim::{DeskLink, KeptFlash, Wire};

/// How long a tap keeps a key down, and then up, milliseconds.
const TAP: [u64; 2] = [80, 40];
/// Longest wait of one step, milliseconds: an hour.
const LONGEST: u64 = 3_600_000;

/// One line of a script.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Press(Key, u64),
    Down(Key),
    Up(Key),
    Wait(u64),
    Stop(bool),
    OnAir(Option<bool>),
    Show,
    Picture,
    Floor(PathBuf),
    Power,
    Quit,
}

/// The box between two steps.
struct Run<'s, 'o, 'w> {
    stage: &'s Stage,
    output: &'o mut Output<'w>,
    now: Instant,
    levels: Levels,
    /// Frames and blanks when the floor was written last.
    written: u64,
}

pub(super) fn run(text: &str, flash: KeptFlash, stage: Stage, output: &mut Output<'_>) -> Result<(), Refusal> {
    let steps = parse(text)?;
    let mut steps = steps.into_iter().peekable();
    let wire = Wire::default();
    let (mut flash, mut link) = (flash, DeskLink::wired(wire.clone()));
    let mut run = Run { stage: &stage, output, now: Instant::ZERO, levels: Levels::default(), written: 0 };
    let mut is_first = true;
    loop {
        let body = |device: &mut Device<'_, AtDesk>| {
            run.wait(device, 50)?;
            if let Some(pack) = stage.pack.as_ref().filter(|_| is_first) {
                Loader::new(&wire).load(device, &mut run.now, pack)?;
                run.wait(device, 50)?;
            }
            run.steps(device, &mut steps)
        };
        let (goes_on, kept, end) = live(&stage, flash, link, body)?;
        (flash, link, is_first) = (kept, end, false);
        if !goes_on {
            return Ok(());
        }
    }
}

impl Run<'_, '_, '_> {
    /// Does steps until the power is cut, true, or there are none left.
    fn steps(
        &mut self,
        device: &mut Device<'_, AtDesk>,
        steps: &mut impl Iterator<Item = Step>,
    ) -> Result<bool, Refusal> {
        for step in steps {
            match step {
                Step::Power => {
                    self.say("power cut and back")?;
                    return Ok(true);
                }
                Step::Quit => return Ok(false),
                step => self.step(device, step)?,
            }
        }
        Ok(false)
    }

    fn step(&mut self, device: &mut Device<'_, AtDesk>, step: Step) -> Result<(), Refusal> {
        let felt = self.stage.panel.panel().ticks.len();
        match step {
            Step::Press(key, millis) => {
                self.levels.keys |= key.bit();
                self.wait(device, millis)?;
                self.levels.keys &= !key.bit();
                self.wait(device, TAP[1])?;
                let panel = self.stage.panel.panel();
                let verdict = says::felt(panel.ticks.get(felt..).and_then(<[_]>::last));
                self.say(&format!("{} for {millis} ms: {verdict}", name(key)))?;
            }
            Step::Down(key) => self.levels.keys |= key.bit(),
            Step::Up(key) => self.levels.keys &= !key.bit(),
            Step::Wait(millis) => return self.wait(device, millis),
            Step::Stop(closed) => self.levels.stop = closed,
            Step::OnAir(light) => self.levels.on_air = light,
            Step::Show => {
                let words = says::words_of(&self.stage.panel.panel());
                self.say(&format!("the display says\n{}", words.trim_end()))?;
            }
            Step::Picture => {
                let face = self.stage.panel.face();
                self.output.data(&(says::picture_of(face.as_ref(), Grain::Dots).join("\n") + "\n"))?;
            }
            Step::Floor(path) => {
                write_floor(&self.stage.leds, &path)?;
                self.say(&format!("{} pixels lit, written to {}", self.stage.leds.lit(), path.display()))?;
            }
            Step::Power | Step::Quit => {}
        }
        // Levels that a step has moved settle before the next one.
        self.wait(device, 40)
    }

    fn wait(&mut self, device: &mut Device<'_, AtDesk>, millis: u64) -> Result<(), Refusal> {
        self.stage.panel.set(self.levels);
        for _ in 0..millis {
            self.now = self.now.after(Duration::from_millis(1));
            device.poll(self.now);
        }
        let changes = self.stage.leds.changes();
        match &self.stage.floor {
            Some(path) if changes != self.written => {
                self.written = changes;
                write_floor(&self.stage.leds, path)
            }
            _ => Ok(()),
        }
    }

    fn say(&mut self, what: &str) -> Result<(), Refusal> {
        let millis = self.now.as_millis();
        self.output.data(&format!("{:>4}.{:03} s  {what}\n", millis / 1000, millis % 1000))
    }
}

fn name(key: Key) -> &'static str {
    match key {
        Key::Go => "GO",
        Key::Back => "BACK",
        Key::Hold => "HOLD",
        Key::Off => "OFF",
        Key::Clear => "CLEAR",
    }
}

fn parse(text: &str) -> Result<Vec<Step>, Refusal> {
    let lines = (1..).zip(text.lines()).map(|(number, line)| (number, line.split('#').next().unwrap_or("").trim()));
    lines
        .filter(|(_, line)| !line.is_empty())
        .map(|(number, line)| {
            step(line).map_err(|why| Refusal(format!("line {number} of the script, \"{line}\": {why}")))
        })
        .collect()
}

fn step(line: &str) -> Result<Step, String> {
    let words: Vec<&str> = line.split_whitespace().collect();
    Ok(match words[..] {
        ["hold", word, millis] => Step::Press(key(word)?, time(millis)?),
        ["down", word] => Step::Down(key(word)?),
        ["up", word] => Step::Up(key(word)?),
        ["wait", millis] => Step::Wait(time(millis)?),
        ["stop", "on"] => Step::Stop(true),
        ["stop", "off"] => Step::Stop(false),
        ["on-air", "lit"] => Step::OnAir(Some(true)),
        ["on-air", "dark"] => Step::OnAir(Some(false)),
        ["on-air", "none"] => Step::OnAir(None),
        ["show"] => Step::Show,
        ["picture"] => Step::Picture,
        ["floor", path] => Step::Floor(path.into()),
        ["power"] => Step::Power,
        ["quit"] => Step::Quit,
        [word] => Step::Press(key(word)?, TAP[0]),
        _ => return Err("there is no such step; `underfoot box --help` lists them".into()),
    })
}

fn key(word: &str) -> Result<Key, String> {
    Key::ALL
        .into_iter()
        .find(|&key| name(key).eq_ignore_ascii_case(word))
        .ok_or_else(|| format!("there is no key or step \"{word}\"; the keys are go, back, hold, off and clear"))
}

fn time(word: &str) -> Result<u64, String> {
    word.parse()
        .ok()
        .filter(|&ms| ms <= LONGEST)
        .ok_or_else(|| format!("\"{word}\" is no time: whole milliseconds, at most {LONGEST}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_read_and_what_is_none_is_named_with_its_line() {
        let text = "go # on\n\nhold back 700\nHOLD\nwait 400\non-air lit\nfloor a.png";
        let expected = [
            Step::Press(Key::Go, 80),
            Step::Press(Key::Back, 700),
            Step::Press(Key::Hold, 80),
            Step::Wait(400),
            Step::OnAir(Some(true)),
            Step::Floor("a.png".into()),
        ];
        assert_eq!(parse(text).ok().as_deref(), Some(&expected[..]));
        for (text, part) in [
            ("go\nleap", "line 2"),
            ("leap", "the keys are go"),
            ("wait long", "\"long\" is no time"),
            ("wait 3600001", "3600000"),
            ("stop maybe", "no such step"),
        ] {
            let why = parse(text).expect_err("a fault").0;
            assert!(why.contains(part), "{why}");
        }
    }
}
