//! Type: which letters, how large, and how names are cut to fit.

use embedded_graphics::geometry::{OriginDimensions, Point};
use embedded_graphics::image::GetPixel;
use embedded_graphics::mono_font::{MonoFont, iso_8859_1};
use embedded_graphics::pixelcolor::BinaryColor;

/// A way to set words: a font, and how far it is stretched.
#[derive(Clone, Copy, Debug)]
pub struct Type {
    font: &'static MonoFont<'static>,
    /// First row of the font that is drawn, and one past the last.
    rows: (u8, u8),
    /// Advance of a character before stretching, pixels.
    advance: u8,
    /// Widening, a whole number.
    wide: u8,
    /// Heightening, a fraction.
    tall: (u8, u8),
}

impl Type {
    /// Small words: capitals 6 high.
    pub const SMALL: Self = Self { font: &iso_8859_1::FONT_5X8, rows: (0, 8), advance: 5, wide: 1, tall: (1, 1) };
    /// Names: capitals 9 high.
    pub const NAME: Self = Self { font: &iso_8859_1::FONT_6X13, rows: (1, 13), advance: 6, wide: 1, tall: (1, 1) };
    /// Numbers and modes: capitals 12 high, digits and capitals only.
    pub const HEAD: Self = Self::capitals(1, (6, 5));
    /// The cue that GO leads to, on a small display: 20 high.
    pub const BIG: Self = Self::capitals(2, (2, 1));
    /// The same for long numbers.
    pub const BIG_NARROW: Self = Self::capitals(1, (2, 1));
    /// Numbers and modes on a large display: 20 high.
    pub const LARGE_HEAD: Self = Self::capitals(2, (2, 1));
    /// The same where many have to fit.
    pub const LARGE_HEAD_NARROW: Self = Self::capitals(1, (2, 1));
    /// The cue that GO leads to, on a large display: 30 high.
    pub const HUGE: Self = Self::capitals(3, (3, 1));
    /// The same for long numbers.
    pub const HUGE_NARROW: Self = Self::capitals(2, (3, 1));

    /// The same for the longest.
    pub const HUGE_SLIM: Self = Self::capitals(1, (3, 1));

    /// The bold face cut to its capitals, which have neither tails nor room below.
    const fn capitals(wide: u8, tall: (u8, u8)) -> Self {
        Self { font: &iso_8859_1::FONT_8X13_BOLD, rows: (1, 11), advance: 8, wide, tall }
    }

    /// Height of a line, pixels.
    pub const fn height(self) -> i32 {
        self.row(self.rows.1)
    }

    /// Width of `words`, pixels.
    pub fn width(self, words: &str) -> i32 {
        words.chars().map(|c| self.advance(c)).sum()
    }

    /// How far `c` moves on. A point between digits needs no room of its own.
    pub(super) fn advance(self, c: char) -> i32 {
        let is_narrow = self.rows.1 == 11 && matches!(c, '.' | ':' | ' ');
        i32::from(if is_narrow { self.advance / 2 } else { self.advance }) * i32::from(self.wide)
    }

    /// Where row `row` of the font starts, pixels below the line's top.
    const fn row(self, row: u8) -> i32 {
        let below = row.saturating_sub(self.rows.0) as i32;
        below * self.tall.0 as i32 / self.tall.1 as i32
    }

    /// The rows of a line: which row of the font, where it starts and where it ends.
    pub(super) fn lines(self) -> impl Iterator<Item = (u8, i32, i32)> {
        (self.rows.0..self.rows.1).map(move |row| (row, self.row(row), self.row(row + 1)))
    }

    /// The columns that `c` takes: which column of its cell, where it starts and where it ends.
    pub(super) fn columns(self, c: char) -> impl Iterator<Item = (i32, i32, i32)> {
        let wide = i32::from(self.wide);
        let count = self.advance(c) / wide;
        // A narrow character is taken from the middle of its cell.
        let skipped = (i32::from(self.advance) - count) / 2;
        (0..count).map(move |i| (i + skipped, i * wide, (i + 1) * wide))
    }

    /// True where `c` has ink, at a column of its cell and a row of the font.
    pub(super) fn has_ink(self, c: char, column: i32, row: u8) -> bool {
        let cell = self.font.character_size;
        if let Some(ink) = self.own_ink(c, column, row) {
            return ink;
        }
        let index = self.font.glyph_mapping.index(folded(c)) as u32;
        let in_line = (self.font.image.size().width / cell.width).max(1);
        let corner = ((index % in_line * cell.width) as i32, (index / in_line * cell.height) as i32);
        self.font.image.pixel(Point::new(corner.0 + column, corner.1 + i32::from(row))) == Some(BinaryColor::On)
    }

    /// Ink of the signs that are not the font's: its points are as wide as they are high, and far too large here.
    fn own_ink(self, c: char, column: i32, row: u8) -> Option<bool> {
        let above = i64::from(self.font.baseline) - i64::from(row);
        let first = i32::from(self.advance) / 2 - 1;
        let in_point = |low: i64| (low..low + 2).contains(&above) && (first..first + 2).contains(&column);
        match c {
            ELLIPSIS => Some(above == 0 && column % 2 == 0 && column < 6),
            '.' => Some(in_point(0)),
            ':' => Some(in_point(0) || in_point(4)),
            _ => None,
        }
    }

    /// True when the font has a letter of its own for `c`.
    pub fn has(self, c: char) -> bool {
        let stand_in = self.font.glyph_mapping.index('?');
        c == '?' || c == ELLIPSIS || self.font.glyph_mapping.index(folded(c)) != stand_in
    }

    /// As much of `words` as fits into `width` pixels, and whether that is all of them. What is cut off is cut after a
    /// letter or digit, with room for [`ELLIPSIS`].
    pub fn cut(self, words: &str, width: i32) -> (&str, bool) {
        if self.width(words) <= width {
            return (words, true);
        }
        let room = width - self.advance(ELLIPSIS);
        let mut used = 0;
        let end = words.char_indices().find_map(|(at, c)| {
            used += self.advance(c);
            (used > room).then_some(at)
        });
        let kept = end.and_then(|end| words.get(..end)).unwrap_or(words);
        (kept.trim_end_matches(|c: char| !c.is_alphanumeric()), false)
    }

    /// Two lines of `words` within `width`: broken at the last blank that fits into the first, or anywhere when there
    /// is none.
    pub fn wrap(self, words: &str, width: i32) -> (&str, &str) {
        let words = words.trim();
        if self.width(words) <= width {
            return (words, "");
        }
        let mut used = 0;
        let mut fits = 0;
        let mut blank = None;
        for (at, c) in words.char_indices() {
            if c == ' ' {
                blank = Some(at);
            }
            used += self.advance(c);
            if used > width {
                break;
            }
            fits = at + c.len_utf8();
        }
        let (first, rest) = words.split_at_checked(blank.unwrap_or(fits)).unwrap_or((words, ""));
        (first, rest.trim_start())
    }
}

/// Stands for what was cut off: three points in the room of one letter.
pub const ELLIPSIS: char = '\u{2026}';

/// The letter that stands for one which Latin-1 does not have: typographic signs, and letters of Central Europe and
/// Turkey without their marks.
const fn folded(c: char) -> char {
    match c {
        '\u{2018}' | '\u{2019}' => '\'',
        '\u{201c}' | '\u{201d}' | '\u{201e}' => '"',
        '\u{2010}'..='\u{2015}' => '-',
        'Ā' | 'Ă' | 'Ą' => 'A',
        'ā' | 'ă' | 'ą' => 'a',
        'Ć' | 'Č' => 'C',
        'ć' | 'č' => 'c',
        'Ď' | 'Đ' => 'D',
        'ď' | 'đ' => 'd',
        'Ē' | 'Ė' | 'Ę' | 'Ě' => 'E',
        'ē' | 'ė' | 'ę' | 'ě' => 'e',
        'Ğ' | 'Ģ' => 'G',
        'ğ' | 'ģ' => 'g',
        'Ī' | 'Į' | 'İ' => 'I',
        'ī' | 'į' | 'ı' => 'i',
        'Ķ' => 'K',
        'ķ' => 'k',
        'Ĺ' | 'Ļ' | 'Ľ' | 'Ł' => 'L',
        'ĺ' | 'ļ' | 'ľ' | 'ł' => 'l',
        'Ń' | 'Ņ' | 'Ň' => 'N',
        'ń' | 'ņ' | 'ň' => 'n',
        'Ō' | 'Ő' | 'Œ' => 'O',
        'ō' | 'ő' | 'œ' => 'o',
        'Ŕ' | 'Ř' => 'R',
        'ŕ' | 'ř' => 'r',
        'Ś' | 'Ş' | 'Š' | 'Ș' => 'S',
        'ś' | 'ş' | 'š' | 'ș' => 's',
        'Ţ' | 'Ť' | 'Ț' => 'T',
        'ţ' | 'ť' | 'ț' => 't',
        'Ū' | 'Ů' | 'Ű' | 'Ų' => 'U',
        'ū' | 'ů' | 'ű' | 'ų' => 'u',
        'Ź' | 'Ż' | 'Ž' => 'Z',
        'ź' | 'ż' | 'ž' => 'z',
        other => other,
    }
}
