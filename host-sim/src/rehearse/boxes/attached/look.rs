//! One look after the other at an attached box.

use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

use underfoot_core::floor::Canvas;
use underfoot_core::link::Outlook;
use underfoot_core::link::version::WITH_PICTURES;
use underfoot_core::look::View;
use underfoot_core::pack::ShowCode;
use underfoot_core::panel::display::words;
use underfoot_core::sacn::Strip;
use underfoot_core::show::Mode;

use super::compare::{self, NoSpans, Painter, Rows};
use super::{CALLS, LOOKS, Shown, State, Teller, Told, orders, questions};
use crate::link::{SendError, Session, Step, Target};
use crate::rehearse::boxes::doings::{Doings, Done};
use crate::rehearse::draft::Revision;
use crate::rehearse::house::lock;
use crate::render::{CanvasPixels, Picture};

/// How often people are told how far a long question is.
const TELLS: Duration = Duration::from_millis(250);

/// Who looks.
pub(super) struct Looker {
    target: Target,
    session: Option<Session>,
    painter: Painter,
    told: Told,
    shown: Arc<Mutex<Shown>>,
    teller: Teller,
    /// What is done at the simulated box, when it is to be done at this one, too.
    doings: Option<Arc<Doings>>,
    /// Checksum of the picture that was compared last, and the show's revision then.
    last: Option<(u32, u64)>,
}

/// Why a look came to nothing.
struct Lost(State, String);

impl Looker {
    pub(super) fn new(
        target: Target,
        told: Told,
        shown: Arc<Mutex<Shown>>,
        teller: Teller,
        doings: Option<Arc<Doings>>,
    ) -> Self {
        Self { target, session: None, painter: Painter::new(), told, shown, teller, doings, last: None }
    }

    /// True when nobody wants to know any more.
    pub(super) fn is_over(&self) -> bool {
        self.teller.is_over()
    }

    /// Tells everybody what was seen last.
    pub(super) fn tell(&self) {
        self.teller.tell(&self.told);
    }

    /// Waits until the next look is due, or something was done that the box has to do, too.
    pub(super) fn wait(&self) {
        match (&self.session, &self.doings) {
            (None, _) => thread::sleep(CALLS),
            (Some(_), None) => thread::sleep(LOOKS),
            (Some(_), Some(doings)) => doings.wait(LOOKS),
        }
    }

    /// Looks once.
    pub(super) fn look(&mut self, revision: &Revision) {
        let Err(Lost(state, words)) = self.try_look(revision) else { return };
        // The next look calls it again; orders that it did not hear are not given late.
        (self.session, self.last) = (None, None);
        (self.told.state, self.told.words) = (state, words);
        self.miss(revision);
    }

    fn try_look(&mut self, revision: &Revision) -> Result<(), Lost> {
        if self.session.is_none() {
            self.session = Some(Session::since(&self.target, WITH_PICTURES).map_err(|e| self.lost(&e))?);
            self.miss(revision);
        }
        let outlook = self.ask(questions::outlook)?;
        self.told.mode = Some(words::mode(outlook.mode));
        self.told.cue = outlook.now.map(|cue| cue.0);
        self.told.code = outlook.pack_crc.map(|crc| ShowCode::of_crc(crc).to_string());
        let display = self.ask(questions::display)?;
        self.keep_display(display);
        if self.told.code.as_deref() != Some(revision.code.as_str()) {
            self.other_show(revision);
            return Ok(());
        }
        self.obey(revision)?;
        self.picture(revision, &outlook)
    }

    fn lost(&self, error: &SendError) -> Lost {
        let (state, words) = super::words::lost(error, self.told.to.as_deref().unwrap_or_default());
        Lost(state, words)
    }

    fn other_show(&mut self, revision: &Revision) {
        let has =
            self.told.code.as_ref().map_or("the box has no show".into(), |code| format!("the box has show {code}"));
        self.told.words = format!(
            "{has}, this page {}: nothing is compared. Keep what was changed, then `underfoot send SHOW --to {}` in OFF; a \
             serial line has to be detached for it",
            revision.code,
            self.told.to.as_deref().unwrap_or_default()
        );
        (self.told.state, self.last) = (State::OtherShow, None);
        self.miss(revision);
        self.told.differing.clear();
        self.told.within.clear();
    }

    /// Has the box do what was done at the simulated one.
    fn obey(&mut self, revision: &Revision) -> Result<(), Lost> {
        let done = self.doings.as_ref().map(|doings| doings.take()).unwrap_or_default();
        for one in done {
            self.told.order = self.ask(|session| orders::give(session, one, &revision.project.show))?;
        }
        Ok(())
    }

    /// Orders that cannot be given are told, and not kept: they are of their moment.
    fn miss(&mut self, revision: &Revision) {
        let missed: Vec<Done> = self.doings.as_ref().map(|doings| doings.take()).unwrap_or_default();
        if let Some(last) = missed.last() {
            self.told.order = format!("it missed {}", super::words::order(*last, &revision.project.show));
        }
    }

    fn picture(&mut self, revision: &Revision, outlook: &Outlook) -> Result<(), Lost> {
        let (crc, view) = self.ask(questions::picture)?;
        if crc == 0 {
            self.none_lit(revision, outlook);
            return Ok(());
        }
        if self.last == Some((crc, revision.number)) {
            return Ok(());
        }
        let painted = self.painter.paint(&revision.project.show, outlook.controller, &view);
        let cannot = || Lost(State::Silent, "this desk cannot paint the box's picture: its memory is too small".into());
        let (due_crc, due) = painted.ok_or_else(cannot)?;
        if due.is_empty() {
            let words = "it lights pixel tape only: what goes to tape packet by packet is not compared";
            (self.told.state, self.told.words) = (State::NotCompared, words.into());
            return Ok(());
        }
        let got = if due_crc == crc {
            due.clone()
        } else {
            match self.fetch(&view, &due) {
                Ok(got) => got,
                Err(NoSpans::Stopped) => return Ok(()),
                Err(NoSpans::Line(error)) => return Err(self.lost(&error)),
                Err(NoSpans::Words(words)) => {
                    (self.told.state, self.told.words) =
                        (State::Differs, format!("its picture is not as it should be, but {words}"));
                    return Ok(());
                }
            }
        };
        self.keep_rows(revision, (due, got), due_crc == crc);
        self.last = Some((crc, revision.number));
        self.told.compared += 1;
        Ok(())
    }

    /// Between an advance and its picture there is none to compare, and none in OFF.
    fn none_lit(&mut self, revision: &Revision, outlook: &Outlook) {
        if outlook.mode != Mode::Off {
            (self.told.state, self.told.words) = (State::Asking, "its picture is in work".into());
        } else if self.told.state != State::Dark {
            let show = &revision.project.show;
            let goes_by_rows = |canvas: &Canvas| Strip::of(canvas).is_none();
            let is_its = |canvas: &Canvas| [0, canvas.controller].contains(&outlook.controller) && goes_by_rows(canvas);
            let its = (0..).zip(&show.canvases).filter(|(_, canvas)| is_its(canvas));
            let dark: Rows = its.map(|(i, canvas)| (i, CanvasPixels::new(canvas))).collect();
            self.keep_rows(revision, (dark.clone(), dark), true);
            (self.told.state, self.told.words) = (State::Dark, "its floor is dark".into());
        }
        self.last = None;
    }

    fn fetch(&mut self, view: &View, like: &Rows) -> Result<Rows, NoSpans> {
        let Self { session, told, teller, doings, .. } = self;
        let session = session.as_mut().ok_or(SendError::Silent(Step::Hello))?;
        let mut said = Instant::now();
        compare::fetch(session, view, like, |here, rows| {
            if said.elapsed() >= TELLS {
                said = Instant::now();
                told.state = State::Asking;
                told.words = format!("its picture is not as it should be: asking for its pixels, row {here} of {rows}");
            }
            teller.tell(told);
            !teller.is_over() && !doings.as_ref().is_some_and(|doings| doings.any())
        })
    }

    fn keep_rows(&mut self, revision: &Revision, (due, got): (Rows, Rows), is_same: bool) {
        let differs = compare::differing(&due, &got);
        let name = |i: u8| revision.project.show.canvases.get(usize::from(i)).map(|c| c.name.to_string());
        let count = |bits: &Vec<bool>| bits.iter().filter(|differs| **differs).count();
        let within = |i: u8, bits: &Vec<bool>| compare::within(bits, due.get(&i)?.width());
        self.told.differing = differs.iter().filter_map(|(i, bits)| Some((name(*i)?, count(bits)))).collect();
        self.told.within = differs.iter().filter_map(|(i, bits)| Some((name(*i)?, within(*i, bits)?))).collect();
        let pixels: usize = self.told.differing.values().sum();
        (self.told.state, self.told.words) = match (is_same, pixels) {
            (true, _) => (State::Same, "every pixel of its last picture is as it should be".into()),
            (false, 0) => (
                State::Differs,
                "what it works out is right, but its last picture's checksum is another: mistrust its rows".into(),
            ),
            (false, 1) => (State::Differs, "1 pixel differs from what it should be".into()),
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

    /// Asks the box that was called.
    fn ask<T>(&mut self, question: impl FnOnce(&mut Session) -> Result<T, SendError>) -> Result<T, Lost> {
        let answer = self.session.as_mut().ok_or(SendError::Silent(Step::Hello)).and_then(question);
        answer.map_err(|e| self.lost(&e))
    }
}
