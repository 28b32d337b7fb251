//! One look after the other at an attached box.

use std::sync::{Arc, Mutex};

use underfoot_core::link::message::STRIPE;
use underfoot_core::link::{Answer, Outlook, Request, Versions};
use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_from_bytes;
use underfoot_core::pack::ShowCode;
use underfoot_core::panel::display::{self, words};

use super::compare::{self, Canvas, Painter};
use super::{Shown, State, Told};
use crate::link::{SendError, Session, Step, Target};
use crate::rehearse::draft::Revision;
use crate::rehearse::house::lock;
use crate::render::Picture;

/// Light and dark of the small display.
const LIT: [u8; 3] = [255; 3];
const DARK: [u8; 3] = [0; 3];

/// Who looks.
pub(super) struct Looker {
    target: Target,
    session: Option<Session>,
    painter: Painter,
    told: Told,
    shown: Arc<Mutex<Shown>>,
    /// Checksum of the picture that was compared last, and of the show's pack then.
    last: Option<(u32, u64)>,
}

impl Looker {
    pub(super) fn new(target: Target, told: Told, shown: Arc<Mutex<Shown>>) -> Self {
        Self { target, session: None, painter: Painter::new(), told, shown, last: None }
    }

    pub(super) const fn told(&self) -> &Told {
        &self.told
    }

    /// Looks once.
    pub(super) fn look(&mut self, revision: &Revision) {
        let Err(words) = self.try_look(revision) else { return };
        // The next look calls it again.
        (self.session, self.last) = (None, None);
        (self.told.state, self.told.words) = (State::Silent, words);
    }

    fn try_look(&mut self, revision: &Revision) -> Result<(), String> {
        let said = |e: SendError| e.to_string();
        if self.session.is_none() {
            let mut session = Session::open(&self.target).map_err(said)?;
            session.hello(Versions::OURS).map_err(said)?;
            self.session = Some(session);
        }
        let outlook = self.outlook().map_err(said)?;
        self.told.mode = Some(words::mode(outlook.mode));
        self.told.cue = outlook.now.map(|cue| cue.0);
        self.told.code = outlook.pack_crc.map(|crc| ShowCode::of_crc(crc).to_string());
        let display = self.display().map_err(said)?;
        self.keep_display(display);
        if self.told.code.as_deref() != Some(revision.code.as_str()) {
            let theirs = self.told.code.as_deref().unwrap_or("none");
            self.told.words = format!(
                "the box has show {theirs}, this page {}: keep the show and `send` it, in OFF, to compare them",
                revision.code
            );
            (self.told.state, self.last) = (State::OtherShow, None);
            self.told.differing.clear();
            return Ok(());
        }
        self.picture(revision, &outlook)
    }

    fn picture(&mut self, revision: &Revision, outlook: &Outlook) -> Result<(), String> {
        let (crc, view) = self.asked_picture().map_err(|e| e.to_string())?;
        if self.last == Some((crc, revision.number)) {
            return Ok(());
        }
        let show = &revision.project.show;
        if crc == 0 {
            // Between an advance and its picture there is none to compare either.
            let is_off = outlook.mode == underfoot_core::show::Mode::Off;
            (self.told.state, self.told.words) = if is_off {
                (State::Dark, "its floor is dark".into())
            } else {
                (self.told.state, "its picture is in work".into())
            };
            self.last = None;
            return Ok(());
        }
        let painted = self.painter.paint(show, outlook.controller, &view);
        let (due_crc, due) = painted.ok_or("this desk cannot paint the box's picture: its memory is too small")?;
        let got = if due_crc == crc { due.clone() } else { self.fetch(&view, &due)? };
        self.keep_rows(revision, (due, got), due_crc == crc);
        self.last = Some((crc, revision.number));
        self.told.compared += 1;
        Ok(())
    }

    fn fetch(&mut self, view: &View, like: &Canvas) -> Result<Canvas, String> {
        let session = self.session.as_mut().ok_or("the box is gone")?;
        compare::fetch(session, view, like).map_err(|e| e.to_string())
    }

    fn keep_rows(&mut self, revision: &Revision, (due, got): (Canvas, Canvas), is_same: bool) {
        let differs = compare::differing(&due, &got);
        let name = |i: u8| revision.project.show.canvases.get(usize::from(i)).map(|c| c.name.to_string());
        let count = |bits: &Vec<bool>| bits.iter().filter(|differs| **differs).count();
        let all = differs.iter().filter_map(|(i, bits)| Some((name(*i)?, count(bits))));
        self.told.differing = all.filter(|(_, pixels)| *pixels > 0).collect();
        let pixels: usize = self.told.differing.values().sum();
        (self.told.state, self.told.words) = match (is_same, pixels) {
            (true, _) => (State::Same, "every pixel of its last picture is as it should be".into()),
            (false, 0) => (
                State::Differs,
                "what it works out is right, but its last picture's checksum is another: mistrust its rows".into(),
            ),
            (false, pixels) => (State::Differs, format!("{pixels} pixels differ from what they should be")),
        };
        let mut shown = lock(&self.shown);
        (shown.canvases, shown.differs) = (got, differs);
        self.told.rows += 1;
    }

    fn keep_display(&mut self, display: Picture) {
        let mut shown = lock(&self.shown);
        if shown.display.as_ref() != Some(&display) {
            shown.display = Some(display);
            self.told.display += 1;
        }
    }

    fn ask(&mut self, request: &Request<'_>) -> Result<Answer, SendError> {
        let session = self.session.as_mut().ok_or(SendError::Silent(Step::Hello))?;
        session.ask(Step::Picture, request)
    }

    fn outlook(&mut self) -> Result<Outlook, SendError> {
        match self.ask(&Request::Outlook)? {
            Answer::Outlook(outlook) => Ok(outlook),
            other => Err(wrong(&other)),
        }
    }

    fn asked_picture(&mut self) -> Result<(u32, View), SendError> {
        match self.ask(&Request::Picture)? {
            Answer::Picture { crc, view } => {
                let view = view.as_slice().try_into().ok().and_then(view_from_bytes);
                Ok((crc, view.ok_or(SendError::Confused(Step::Picture))?))
            }
            other => Err(wrong(&other)),
        }
    }

    /// The small display, stripe by stripe.
    fn display(&mut self) -> Result<Picture, SendError> {
        let (width, height) = (display::MONO.width as usize, display::MONO.height as usize);
        let mut picture = Picture::new(width, height, DARK);
        for stripe in 0..(height / usize::from(STRIPE)) as u8 {
            let bits = match self.ask(&Request::Display { stripe })? {
                Answer::Display(bits) => bits,
                other => return Err(wrong(&other)),
            };
            let pixels = bits.as_slice().iter().flat_map(|byte| (0..8).map(move |bit| byte & 0x80 >> bit != 0));
            for (i, _) in pixels.enumerate().filter(|(_, lit)| *lit) {
                let y = usize::from(stripe) * usize::from(STRIPE) + i / width;
                picture.at_mut(i % width, y).into_iter().for_each(|pixel| *pixel = LIT);
            }
        }
        Ok(picture)
    }
}

fn wrong(answer: &Answer) -> SendError {
    match answer {
        Answer::Refused(why) => SendError::Refused(Step::Picture, *why),
        _ => SendError::Confused(Step::Picture),
    }
}
