//! The changes of cover along one row, kept in order without sorting.
//!
//! An event says by how much one shape's cover changes from the pixel before. Events hang on their
//! pixel's list; a two-level bit set finds the next pixel that has any. An edge inside one pixel is
//! two events: its share there, and the rest of its height in the pixel after.

use super::fine_map::ONE;

const WORD: usize = 32;
/// Words of the bit set over the widest canvas.
const WORDS: usize = crate::limits::CANVAS_SIDE_PX as usize / WORD;
const NONE: u16 = u16::MAX;

/// One change of cover.
#[derive(Clone, Copy, Debug)]
pub(super) struct Event {
    /// Change of cover, 16.16.
    pub(super) change: i32,
    pub(super) shape: u16,
    next: u16,
}

impl Event {
    /// An event that is never read: the filling of fresh memory.
    pub(super) const NONE: Self = Self { change: 0, shape: 0, next: 0 };
}

/// Which pixels have events: one bit each, and one bit for each word of them.
#[derive(Clone, Debug)]
pub(super) struct Marked {
    words: [u32; WORDS],
    summary: [u32; WORDS / WORD],
}

impl Marked {
    /// No pixel has any.
    pub(super) const fn new() -> Self {
        Self { words: [0; WORDS], summary: [0; WORDS / WORD] }
    }
}

/// The events of one row. Pixels are counted from the block's left border.
pub(super) struct Events<'w> {
    pub(super) list: &'w mut [Event],
    /// First event of each pixel; only valid where the pixel is marked.
    pub(super) heads: &'w mut [u16],
    pub(super) marked: &'w mut Marked,
    pub(super) used: usize,
    /// False once an event found no room.
    pub(super) fits: bool,
}

impl Events<'_> {
    /// Adds a change at a pixel; zero changes and pixels beyond the right border are dropped.
    #[inline]
    fn add(&mut self, px: usize, shape: u16, change: i32) {
        let Some(head) = self.heads.get_mut(px) else { return };
        let Some(word) = self.marked.words.get_mut(px / WORD) else { return };
        let bit = 1 << (px % WORD);
        let mut next = NONE;
        if *word & bit != 0 {
            next = *head;
            // Neighbouring edges of one contour meet here: their changes are one.
            if let Some(event) = self.list.get_mut(usize::from(next)).filter(|e| e.shape == shape) {
                event.change = event.change.wrapping_add(change);
                return;
            }
        } else if *word == 0
            && let Some(summary) = self.marked.summary.get_mut(px / (WORD * WORD))
        {
            *summary |= 1 << (px / WORD % WORD);
        }
        *word |= bit;
        *head = self.used as u16;
        match self.list.get_mut(self.used) {
            Some(event) => *event = Event { change, shape, next },
            None => self.fits = false,
        }
        self.used += 1;
    }

    /// Adds the piece of an edge between x `from` and `to` (16.16 from the block's left border), `height` high (16.16).
    #[inline]
    pub(super) fn add_piece(&mut self, from: i32, to: i32, height: i32, shape: u16) {
        let (left, right) = if from < to { (from, to) } else { (to, from) };
        if left < 0 {
            return self.add_over_border(left, right, height, shape);
        }
        let px = left >> 16;
        // A piece may end on a pixel's right border and still lie in that pixel.
        if right <= (px + 1) << 16 {
            // Height times mean distance from the pixel's right border.
            let far = (px + 1) << 16;
            let share = half_product(height, far.wrapping_sub(left).wrapping_add(far.wrapping_sub(right)));
            self.add(px as usize, shape, share);
            self.add(px as usize + 1, shape, height.wrapping_sub(share));
        } else {
            self.add_wide(left, right, height, shape);
        }
    }

    /// What lies left of the border counts in whole from the first pixel on.
    fn add_over_border(&mut self, left: i32, right: i32, height: i32, shape: u16) {
        if right <= 0 {
            return self.add(0, shape, height);
        }
        let outside = -i64::from(left);
        let beyond = (i64::from(height) * outside / (i64::from(right) + outside)) as i32;
        self.add(0, shape, beyond);
        self.add_piece(0, right, height - beyond, shape);
    }

    /// A piece over several pixels: the height passed rises evenly, so a pixel's share is the mean of its ends.
    fn add_wide(&mut self, left: i32, right: i32, height: i32, shape: u16) {
        let (first, last) = (left >> 16, (right - 1) >> 16);
        let full = height.unsigned_abs() as i32;
        let signed = |share: i32| if height < 0 { share.wrapping_neg() } else { share };
        let reach = right.wrapping_sub(left);
        let width = ((first + 1) << 16).wrapping_sub(left);
        if last == first + 1 {
            let passed = (full as f32 * (width as f32 / reach as f32)) as i32;
            let before = half_product(passed, width);
            let over = half_product(full.wrapping_sub(passed), right.wrapping_sub(last << 16));
            self.add(first as usize, shape, signed(before));
            self.add(last as usize, shape, signed(full.wrapping_sub(over).wrapping_sub(before)));
            return self.add(last as usize + 1, shape, signed(over));
        }
        // Height passed per pixel and height passed so far, 16.16 with 32 more bits.
        // One f32 division: its last bit is worth less than 1/100 level over the widest canvas.
        let rate = ((full as f32 / reach as f32) * 4_294_967_296.0) as u64;
        let mut passed = rate.wrapping_mul(u64::from(width.unsigned_abs()));
        let mut before = half_product(high(passed), width);
        self.add(first as usize, shape, signed(before));
        let end = (last as usize).min(self.heads.len());
        for px in first as usize + 1..end {
            let start = high(passed);
            passed = passed.wrapping_add(rate << 16);
            let share = start.wrapping_add(high(passed)) >> 1;
            self.add(px, shape, signed(share.wrapping_sub(before)));
            before = share;
        }
        let left_over = half_product(full.wrapping_sub(high(passed)), right.wrapping_sub(last << 16));
        let share = full.wrapping_sub(left_over);
        self.add(last as usize, shape, signed(share.wrapping_sub(before)));
        self.add(last as usize + 1, shape, signed(full.wrapping_sub(share)));
    }

    /// Takes the leftmost pixel that has events, and its first event.
    #[inline]
    pub(super) fn take_next(&mut self, cursor: &mut Cursor) -> Option<(i32, u16)> {
        while cursor.word == 0 {
            while cursor.summary == 0 {
                cursor.group += 1;
                cursor.summary = core::mem::take(self.marked.summary.get_mut(cursor.group - 1)?);
            }
            cursor.index = (cursor.group - 1) * WORD + cursor.summary.trailing_zeros() as usize;
            cursor.summary &= cursor.summary - 1;
            cursor.word = self.marked.words.get_mut(cursor.index).map_or(0, core::mem::take);
        }
        let px = cursor.index * WORD + cursor.word.trailing_zeros() as usize;
        cursor.word &= cursor.word - 1;
        Some((px as i32, *self.heads.get(px)?))
    }

    /// An event and the index of the next one on the same pixel.
    #[inline]
    pub(super) fn event(&self, i: u16) -> Option<(Event, u16)> {
        let event = self.list.get(usize::from(i))?;
        Some((*event, event.next))
    }

    /// Unmarks every pixel: after a sweep that stopped early.
    pub(super) fn forget(&mut self) {
        *self.marked = Marked::new();
    }
}

/// Where a sweep stands in the bit set.
#[derive(Default)]
pub(super) struct Cursor {
    group: usize,
    summary: u32,
    index: usize,
    word: u32,
}

/// `a * b / 2` of two 16.16 values.
#[inline]
fn half_product(a: i32, b: i32) -> i32 {
    (i64::from(a).wrapping_mul(i64::from(b)) >> 17) as i32
}

fn high(passed: u64) -> i32 {
    (passed >> 32) as i32
}

/// A pixel's worth of height never exceeds one row.
const _: () = assert!(ONE == 1 << 16);
