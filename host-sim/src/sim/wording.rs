//! What a panel says, in words.

use underfoot_core::engine::Gate;
use underfoot_core::panel::display::words;
use underfoot_core::panel::{CueTag, Face};
use underfoot_core::ports::Lamp;

use super::Panel;

/// The display's words, line by line, and lamp and relay below them.
pub fn lines(panel: &Panel) -> Vec<String> {
    let Some(face) = &panel.face else { return vec!["dark: no power".into()] };
    let mut out = vec![first(face)];
    out.extend(face.line.as_ref().map(ToString::to_string));
    let leads = matches!(face.gate, Gate::Open | Gate::Armed { .. } | Gate::Held);
    out.push(match &face.next {
        Some(cue) => format!("{} NEXT {}", if leads { "GO:" } else { "not yet:" }, tag(cue)),
        None => words::no_next(face).into(),
    });
    out.push(match words::prompt(face) {
        Some(prompt) => prompt.into(),
        None => format!("{}{}", if face.hold { "HOLD · " } else { "" }, words::reveal(face.reveal)),
    });
    let health = words::health(face).unwrap_or_else(|| words::role(face));
    let parts = [words::code(face), words::control(face), &health];
    out.push(parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · "));
    out.push(format!("lamp {} · relay {}", lamp(panel.lamp), if panel.relay { "closed" } else { "open" }));
    out
}

/// Mode and cue, or what keeps the floor dark.
fn first(face: &Face) -> String {
    let mode = words::mode_with_time(face);
    match (&face.now, words::gate(face.gate)) {
        (Some(cue), None) => format!("{mode} · NOW {}", tag(cue)),
        (_, Some(gate)) => format!("{mode} {gate} · {}", words::dark(face)),
        (None, None) => format!("{mode} · {}", words::dark(face)),
    }
}

/// A cue as crew call it.
pub fn tag(cue: &CueTag) -> String {
    format!("{} {}", words::number(cue.number), cue.name)
}

/// What the lamp does.
pub const fn lamp(lamp: Lamp) -> &'static str {
    match lamp {
        Lamp::Dark => "dark",
        Lamp::Steady => "steady",
        Lamp::Breathing => "breathing",
        Lamp::Twice => "twice",
    }
}
