//! The questions that every look asks.

use underfoot_core::link::message::STRIPE;
use underfoot_core::link::{Answer, Outlook, Request};
use underfoot_core::look::View;
use underfoot_core::look::view_bytes::view_from_bytes;
use underfoot_core::panel::display;

use crate::link::{SendError, Session, Step};
use crate::render::Picture;

/// Light and dark of the small display.
const LIT: [u8; 3] = [255; 3];
const DARK: [u8; 3] = [0; 3];

/// All that the box says of itself.
pub(super) fn outlook(session: &mut Session) -> Result<Outlook, SendError> {
    match session.ask(Step::Picture, &Request::Outlook)? {
        Answer::Outlook(outlook) => Ok(outlook),
        other => Err(wrong(&other)),
    }
}

/// Checksum of its last whole picture, 0 for none, and which view that was of.
pub(super) fn picture(session: &mut Session) -> Result<(u32, View), SendError> {
    match session.ask(Step::Picture, &Request::Picture)? {
        Answer::Picture { crc, view } => {
            let view = view.as_slice().try_into().ok().and_then(view_from_bytes);
            Ok((crc, view.ok_or(SendError::Confused(Step::Picture))?))
        }
        other => Err(wrong(&other)),
    }
}

/// The small display, stripe by stripe.
pub(super) fn display(session: &mut Session) -> Result<Picture, SendError> {
    let (width, height) = (display::MONO.width as usize, display::MONO.height as usize);
    let mut picture = Picture::new(width, height, DARK);
    for stripe in 0..(height / usize::from(STRIPE)) as u8 {
        let bits = match session.ask(Step::Picture, &Request::Display { stripe })? {
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

fn wrong(answer: &Answer) -> SendError {
    match answer {
        Answer::Refused(why) => SendError::Refused(Step::Picture, *why),
        _ => SendError::Confused(Step::Picture),
    }
}
