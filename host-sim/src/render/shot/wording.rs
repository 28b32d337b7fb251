//! Figures in words: long for a picture's caption, short for a contact sheet.

use underfoot_core::cameras::{Framing, Side};
use underfoot_core::show::Show;

use super::caption::PersonLine;
use super::figures::{Figures, Worst};
use super::pattern::Flaw;
use super::people::Actor;

/// All figures of a person in the line below a picture; none for somebody who is not in it.
pub fn long(show: &Show, actor: &Actor, figures: &Figures) -> Vec<PersonLine> {
    let state = match figures.framed.state {
        Framing::Out => return Vec::new(),
        Framing::Beside => "beside the shot".into(),
        Framing::Framed => format!("framed, head {:.2} of {:.2}", figures.framed.head, figures.framed.limit),
        Framing::Cut(side) => cut(figures, side),
    };
    let mut words = format!("{} at {}: {state}", actor.name, actor.mark);
    for (what, worst) in [("painted over", figures.painted), ("hidden", figures.hidden)] {
        words += &format!(" · {what} {}", shares(show, &worst));
    }
    if figures.in_front.share.whole > 0.0 {
        words += &format!(" · shows in front {}", shares(show, &figures.in_front));
    }
    if let Some(off) = figures.off_wall {
        words += &format!(" · off the wall{} by {:.2} m", at_side(off.side), off.over_m());
    }
    vec![PersonLine { who: actor.who, words, flawed: figures.is_flawed() }]
}

/// What is wrong with a person, a few words a line, or how the shot has the person.
pub fn short(show: &Show, actor: &Actor, figures: &Figures) -> Vec<PersonLine> {
    let (name, framed) = (&actor.name, &figures.framed);
    let mut faults: Vec<String> = Vec::new();
    match framed.state {
        Framing::Out => return Vec::new(),
        Framing::Cut(Side::Top) => faults.push(format!("head {:.2} of {:.2}", framed.head, framed.limit)),
        Framing::Cut(side) => faults.push(format!("cut{}", at_side(side))),
        Framing::Framed | Framing::Beside => {}
    }
    for flaw in &figures.flaws {
        let share = |worst: &Worst| format!("{}{}", percent(worst.share.whole), by(show, worst));
        faults.push(match flaw {
            Flaw::Painted => format!("painted {}", share(&figures.painted)),
            Flaw::InFront => format!("in front {}", share(&figures.in_front)),
            Flaw::Hidden => format!("hidden {}", share(&figures.hidden)),
            Flaw::OffWall => format!("off wall {:.2} m", figures.off_wall.map_or(0.0, |off| off.over_m())),
            Flaw::None => continue,
        });
    }
    let line = |words: &str, flawed| PersonLine { who: actor.who, words: format!("{name} {words}"), flawed };
    if faults.is_empty() {
        return vec![line(if figures.is_about() { "framed" } else { "beside the shot" }, false)];
    }
    faults.iter().map(|fault| line(fault, true)).collect()
}

fn cut(figures: &Figures, side: Side) -> String {
    let framed = &figures.framed;
    match side {
        Side::Top => format!("cut at the top, head {:.2} of {:.2}", framed.head, framed.limit),
        Side::Bottom => format!("cut at the bottom, lower line {:.2} of {:.2}", framed.lower, framed.limits.lower),
        Side::Left | Side::Right => {
            format!("cut{}, side {:.2} of {:.2}", at_side(side), framed.side, framed.limits.side)
        }
    }
}

const fn at_side(side: Side) -> &'static str {
    match side {
        Side::Left => " at the left",
        Side::Right => " at the right",
        Side::Top => " at the top",
        Side::Bottom => " at the bottom",
    }
}

/// "35 % by WATCH (head 0, torso 12, legs 61)"; "0" for nothing.
fn shares(show: &Show, worst: &Worst) -> String {
    let share = &worst.share;
    if share.whole <= 0.0 {
        return "0".into();
    }
    let [head, torso, legs] = [share.head, share.torso, share.legs].map(|s| percent(s).replace(" %", ""));
    let when = if worst.at_s > 0.0 { format!(" at {:.1} s", worst.at_s) } else { String::new() };
    format!("{}{}{when} (head {head}, torso {torso}, legs {legs})", percent(share.whole), by(show, worst))
}

fn by(show: &Show, worst: &Worst) -> String {
    let prop = worst.prop.and_then(|p| show.props.get(p.index()));
    prop.map_or(String::new(), |prop| format!(" by {}", prop.name))
}

/// Whole percent; what is not nothing is never printed as nothing.
fn percent(share: f32) -> String {
    let whole = (share * 100.0).round();
    if share > 0.0 && whole < 1.0 { "<1 %".into() } else { format!("{whole} %") }
}
