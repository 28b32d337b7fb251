//! What is taken away: pictures for people, findings, the show file.

use underfoot_core::show::{CueId, Mode};

use super::asked::{Asked, Unserved};
use super::studio::{Answer, JSON, PNG};
use crate::checks;
use crate::cli::draw::contact;
use crate::cli::draw::pictures::{Brief, floor_for_people, with_ways};
use crate::cli::draw::shots::Wanted;
use crate::findings::{self, Report, cue_number, today};
use crate::render::frame::MONITOR_PX;
use crate::render::{Easel, Picture, png};

/// The shots of one cue, or of all of them, with what is wrong in them.
pub(super) fn contact(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue"])?;
    let (project, one) = (asked.project(), asked.cue()?);
    let all = project.show.cues.iter().enumerate().map(|(i, cue)| (CueId(i as u8), cue));
    let cues = all.filter(|(id, _)| one.is_none_or(|(wanted, _)| wanted == *id)).map(|(id, cue)| (cue.mode, id));
    let sheet = contact::sheet(project, &cues.collect::<Vec<_>>(), Wanted::Intended, false);
    taken(asked, sheet.map_err(|refusal| Unserved::failed(refusal.0))?, "contact")
}

/// The whole floor of a cue as people are briefed with it; the load-in picture without a cue.
pub(super) fn floor(asked: &Asked, easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&["cue"])?;
    let (project, cue) = (asked.project(), asked.cue()?.map(|(id, _)| id));
    let brief = with_ways(project, cue, Brief::default());
    let mode = if cue.is_some() { Mode::Brief } else { Mode::Build };
    easel.lay_over(brief.over.clone());
    let code = Some(asked.revision.code.as_str());
    let picture = floor_for_people(project, (easel, &brief), (mode, cue), code, MONITOR_PX);
    // The easel is everybody's.
    easel.lay_over(Vec::new());
    taken(asked, picture.map_err(|refusal| Unserved::failed(refusal.0))?, "floor")
}

/// The findings as `check --all` prints them.
pub(super) fn findings_text(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    let text = findings::text::write(&report(asked)?, true);
    Ok(named(asked, Answer::shown("text/plain; charset=utf-8", text), "findings.txt"))
}

/// The findings as `check --json` prints them.
pub(super) fn findings_json(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    let text = format!("{:#}\n", findings::json::value(&report(asked)?));
    Ok(named(asked, Answer::shown(JSON, text), "findings.json"))
}

/// The text of the show as it is now.
pub(super) fn show(asked: &Asked, _easel: &mut Easel) -> Result<Answer, Unserved> {
    asked.only(&[])?;
    let text = asked.project().source.clone();
    Ok(named(asked, Answer::shown("application/toml; charset=utf-8", text), "show.toml"))
}

fn report(asked: &Asked) -> Result<Report, Unserved> {
    asked.only(&[])?;
    Ok(checks::check(asked.project(), today()))
}

fn taken(asked: &Asked, picture: Picture, what: &str) -> Result<Answer, Unserved> {
    let bytes = png::of_picture(&picture).map_err(Unserved::failed)?;
    Ok(named(asked, Answer::shown(PNG, bytes), &format!("{what}.png")))
}

/// The answer with a name to write it under: "clock-cabinet-cue-4-floor.png".
pub(super) fn named(asked: &Asked, answer: Answer, what: &str) -> Answer {
    let cue = asked.cue().ok().flatten().map_or(String::new(), |(_, cue)| format!("cue-{}-", cue_number(cue.number)));
    let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' };
    let title: String = asked.project().show.title.chars().map(plain).collect();
    Answer { file: Some(format!("{title}-{cue}{what}")), ..answer }
}
