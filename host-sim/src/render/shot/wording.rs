//! Figures in words: long for a picture's caption, short for a contact sheet.

use underfoot_core::cameras::{Framed, Framing, OffWall, Side};
use underfoot_core::show::Show;

use super::caption::PersonLine;
use super::figures::{Figures, Worst};
use super::pattern::Flaw;
use super::people::Actor;

/// Figures beyond this say no more than that.
const FAR: f32 = 10.0;

/// All figures of a person in the line below a picture; none for somebody who is not in it.
pub fn long(show: &Show, actor: &Actor, figures: &Figures) -> Vec<PersonLine> {
    let state = match figures.framed.state {
        Framing::Out => return Vec::new(),
        Framing::Beside => "beside the shot".into(),
        Framing::Framed => format!("framed, head {:.2} of {:.2}", figures.framed.head, figures.framed.limit),
        Framing::Cut(side) if figures.is_cut() => cut(&figures.framed, side),
        Framing::Cut(side) => format!("in passing, {}", cut(&figures.framed, side)),
    };
    let mut words = format!("{} at {}: {state}", actor.name, actor.mark);
    for (what, worst) in [("painted over", figures.painted), ("hidden", figures.hidden)] {
        words += &format!(" · {what} {}", shares(show, &worst));
    }
    if figures.in_front.share.whole > 0.0 {
        words += &format!(" · shows in front {}", shares(show, &figures.in_front));
    }
    if let Some(off) = figures.off_wall {
        words += &format!(" · off the wall{}{}", at_side(off.side), by_metres(&off));
    }
    vec![PersonLine { who: actor.who, words, flawed: figures.is_flawed() }]
}

/// What is wrong with a person, a few words a line, or how the shot has the person.
pub fn short(show: &Show, actor: &Actor, figures: &Figures) -> Vec<PersonLine> {
    let (name, framed) = (&actor.name, &figures.framed);
    let mut faults: Vec<String> = Vec::new();
    match framed.state {
        Framing::Out => return Vec::new(),
        Framing::Cut(side) if figures.is_cut() => faults.push(cut(framed, side)),
        Framing::Cut(_) | Framing::Framed | Framing::Beside => {}
    }
    for flaw in &figures.flaws {
        let share = |worst: &Worst| format!("{}{}", percent(worst.share.whole), by(show, worst));
        faults.push(match flaw {
            Flaw::Painted => format!("painted {}", share(&figures.painted)),
            Flaw::InFront => format!("in front {}", share(&figures.in_front)),
            Flaw::Hidden => format!("hidden {}", share(&figures.hidden)),
            Flaw::OffWall => format!("off the wall{}", figures.off_wall.map_or(String::new(), |off| by_metres(&off))),
            Flaw::None => continue,
        });
    }
    let line = |words: &str, flawed| PersonLine { who: actor.who, words: format!("{name} {words}"), flawed };
    if faults.is_empty() {
        let state = match framed.state {
            Framing::Cut(side) => format!("in passing, cut{}", at_side(side)),
            Framing::Framed => "framed".into(),
            Framing::Beside | Framing::Out => "beside the shot".into(),
        };
        return vec![line(&state, false)];
    }
    faults.iter().map(|fault| line(fault, true)).collect()
}

/// Where a shot cuts a person: the planned figure when that is too much already, else with the operator's tolerance.
fn cut(framed: &Framed, side: Side) -> String {
    let (what, planned, worst, limit) = match side {
        Side::Top => ("head", framed.head, framed.worst.head, framed.limits.head),
        Side::Bottom => ("lower line", -framed.lower, -framed.worst.lower, -framed.limits.lower),
        Side::Left | Side::Right => ("side", framed.side, framed.worst.side, framed.limits.side),
    };
    let (figure, by) = if planned > limit { (planned, "") } else { (worst, " by tolerance") };
    if figure > FAR {
        format!("cut{}", at_side(side))
    } else {
        format!("cut{}, {what} {figure:.2} of {limit:.2}{by}", at_side(side))
    }
}

/// How far off; nothing where the line of sight passes a wall only far away.
fn by_metres(off: &OffWall) -> String {
    let over = off.over_m();
    if over > 0.0 && over < FAR { format!(" by {over:.2} m") } else { String::new() }
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
