//! One row from left to right: pieces of edges in order become spans of resolved colour.
//!
//! Between pieces nothing changes, so a whole run is one span; inside a piece each pixel gets its
//! exact share. A piece that lies in one pixel, by far the most common, takes a short way.

use super::cover::Cover;
use super::edge::Piece;
use super::fine_map::ONE;
use super::{RowTarget, Span};

/// A piece under the sweep.
#[derive(Clone, Copy, Debug)]
pub(super) struct Live {
    piece: Piece,
    /// Height passed at the left border of the current pixel, 16.16 with 32 more bits.
    passed: u64,
    /// Height passed per pixel, 16.16 with 32 more bits; 0 when the piece lies in one pixel.
    per_pixel: u64,
    /// What the current pixel was given.
    given: i32,
}

impl Live {
    /// A piece that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { piece: Piece::NONE, passed: 0, per_pixel: 0, given: 0 };

    fn new(piece: Piece) -> Self {
        let mut live = Self { piece, ..Self::NONE };
        if piece.last_px > piece.first_px {
            let height = u64::from(piece.height.unsigned_abs());
            let rate = (height << 32) / u64::from((piece.right - piece.left).unsigned_abs());
            live.per_pixel = rate << 16;
        }
        live
    }

    /// Cover inside pixel `px`, 16.16 and signed; moves on to the next pixel.
    fn pixel(&mut self, px: i32) -> i32 {
        let Piece { first_px, last_px, left, right, height, .. } = self.piece;
        let full = height.unsigned_abs() as i32;
        let cover = if first_px == last_px {
            single(&self.piece)
        } else if px == first_px {
            let width = ((px + 1) * ONE).wrapping_sub(left);
            self.passed = (self.per_pixel >> 16) * u64::from(width.unsigned_abs());
            half_product(high(self.passed), width)
        } else if px == last_px {
            full - half_product(full - high(self.passed), right.wrapping_sub(px * ONE))
        } else {
            let before = high(self.passed);
            self.passed += self.per_pixel;
            (before + high(self.passed)) >> 1
        };
        if height < 0 { -cover } else { cover }
    }
}

fn high(passed: u64) -> i32 {
    (passed >> 32) as i32
}

/// `a * b / 2` of two 16.16 values of at most one.
fn half_product(a: i32, b: i32) -> i32 {
    ((i64::from(a) * i64::from(b)) >> 17) as i32
}

/// Cover of a piece that lies in one pixel, 16.16 and unsigned: its height times its mean distance from the right border.
fn single(piece: &Piece) -> i32 {
    let base = piece.first_px * ONE;
    let room = (2 * ONE).wrapping_sub(piece.left.wrapping_sub(base)).wrapping_sub(piece.right.wrapping_sub(base));
    half_product(piece.height.unsigned_abs() as i32, room)
}

/// Joins neighbouring pixels of one colour and drops clear ones.
struct Joiner<'t, T: RowTarget> {
    target: &'t mut T,
    span: Span,
}

impl<T: RowTarget> Joiner<'_, T> {
    fn push(&mut self, start: i32, end: i32, cover: &Cover<'_>) -> Result<(), T::Error> {
        let (start, end) = (start as u16, end as u16);
        let color = if cover.is_clear() { super::Rgba::CLEAR } else { cover.color() };
        if self.span.color == color && self.span.end == start {
            self.span.end = end;
            return Ok(());
        }
        self.flush()?;
        self.span = Span { start, end, color };
        Ok(())
    }

    fn flush(&mut self) -> Result<(), T::Error> {
        if self.span.color.a > 0 && self.span.end > self.span.start { self.target.span(self.span) } else { Ok(()) }
    }
}

/// Why a row could not be swept.
pub(super) enum SweepError<E> {
    /// The target refused.
    Target(E),
    /// More pieces cross one pixel than there is room for.
    Crowded,
}

impl<E> From<E> for SweepError<E> {
    fn from(error: E) -> Self {
        Self::Target(error)
    }
}

/// Sweeps the sorted pieces of one row over pixels `first..last`.
pub(super) fn sweep_row<T: RowTarget>(
    pieces: &[Piece],
    cover: &mut Cover<'_>,
    live: &mut [Live],
    (first, last): (i32, i32),
    target: &mut T,
) -> Result<(), SweepError<T::Error>> {
    let mut out = Joiner { target, span: Span { start: 0, end: 0, color: super::Rgba::CLEAR } };
    let mut px = first;
    let mut rest = pieces;
    while let Some((piece, after)) = rest.split_first() {
        if piece.first_px > px {
            out.push(px, piece.first_px, cover)?;
            px = piece.first_px;
        }
        let alone = after.first().is_none_or(|next| next.first_px > px);
        if alone && piece.last_px == px {
            let given = if piece.height < 0 { -single(piece) } else { single(piece) };
            cover.add(piece.shape, given);
            out.push(px, px + 1, cover)?;
            cover.add(piece.shape, piece.height - given);
            px += 1;
            rest = after;
        } else {
            (px, rest) = sweep_crowd(rest, cover, live, (px, last), &mut out)?;
        }
    }
    if px < last && !cover.is_clear() {
        out.push(px, last, cover)?;
    }
    out.flush()?;
    Ok(())
}

/// Sweeps pixel by pixel while any piece is under way; gives the pixel after and the pieces not begun.
fn sweep_crowd<'p, T: RowTarget>(
    pieces: &'p [Piece],
    cover: &mut Cover<'_>,
    live: &mut [Live],
    (first, last): (i32, i32),
    out: &mut Joiner<'_, T>,
) -> Result<(i32, &'p [Piece]), SweepError<T::Error>> {
    let (mut px, mut rest, mut count) = (first, pieces, 0);
    loop {
        while let Some((piece, after)) = rest.split_first().filter(|(p, _)| p.first_px == px) {
            *live.get_mut(count).ok_or(SweepError::Crowded)? = Live::new(*piece);
            count += 1;
            rest = after;
        }
        if count == 0 || px >= last {
            return Ok((px, if px >= last { &[] } else { rest }));
        }
        let crowd = live.get_mut(..count).unwrap_or(&mut []);
        for one in crowd.iter_mut() {
            one.given = one.pixel(px);
            cover.add(one.piece.shape, one.given);
        }
        out.push(px, px + 1, cover)?;
        count = settle(crowd, cover, px);
        px += 1;
    }
}

/// Takes back what the pixel was given, gives finished pieces their whole height and drops them.
fn settle(crowd: &mut [Live], cover: &mut Cover<'_>, px: i32) -> usize {
    let mut kept = 0;
    for i in 0..crowd.len() {
        let Some(one) = crowd.get(i).copied() else { break };
        let done = one.piece.last_px <= px;
        cover.add(one.piece.shape, if done { one.piece.height - one.given } else { -one.given });
        if !done {
            if let Some(slot) = crowd.get_mut(kept) {
                *slot = one;
            }
            kept += 1;
        }
    }
    kept
}
