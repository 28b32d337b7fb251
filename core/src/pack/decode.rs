//! Bytes to show, item by item, straight into its place.
//!
//! A show is some tens of kilobytes. Decoding it by value would put it on the stack at least once, which a
//! small controller cannot give; so only one item at a time passes over the stack on its way.

use heapless::Vec;
use serde::Deserialize;

use super::PackError;
use super::envelope::open;
use super::fields::show_fields;
use crate::show::Show;

/// Decodes a pack by value; for the desk, where the stack has room.
///
/// # Errors
/// The first failed check.
pub fn decode(bytes: &[u8]) -> Result<Show, PackError> {
    let mut show = Show::default();
    decode_into(bytes, &mut show).map(|()| show)
}

/// Decodes a pack into `place`. Nothing of its old content stays; on error it is left empty.
///
/// # Errors
/// The first failed check: the guard around the body, then each field in order, then left-over bytes,
/// then [`Show::validate`].
pub fn decode_into(bytes: &[u8], place: &mut Show) -> Result<(), PackError> {
    clear(place);
    let result = open(bytes).and_then(|(body, _)| fill(body, place));
    if result.is_err() {
        clear(place);
    }
    result
}

/// Empties a show where it stands.
pub fn clear(place: &mut Show) {
    macro_rules! empty {
        (list $field:ident) => {
            $field.clear()
        };
        (item $field:ident) => {
            *$field = Default::default()
        };
    }
    macro_rules! each {
        ($show:expr; $($kind:ident $field:ident),* $(,)?) => {{
            let Show { $($field),* } = $show;
            $(empty!($kind $field);)*
        }};
    }
    show_fields!(each!(place))
}

fn fill(body: &[u8], place: &mut Show) -> Result<(), PackError> {
    let mut reader = Reader { rest: body };
    macro_rules! each {
        ($show:expr; $($kind:ident $field:ident),* $(,)?) => {{
            let Show { $($field),* } = $show;
            $(reader.$kind(stringify!($field), $field)?;)*
        }};
    }
    show_fields!(each!(&mut *place));
    if !reader.rest.is_empty() {
        return Err(PackError::Trailing { got: reader.rest.len() });
    }
    place.validate().map_err(PackError::Show)
}

struct Reader<'b> {
    rest: &'b [u8],
}

impl<'b> Reader<'b> {
    fn take<T: Deserialize<'b>>(&mut self, field: &'static str, index: usize) -> Result<T, PackError> {
        let fault = PackError::Value { field, index: u16::try_from(index).unwrap_or(u16::MAX) };
        let (value, rest) = postcard::take_from_bytes(self.rest).map_err(|_| fault)?;
        self.rest = rest;
        Ok(value)
    }

    fn item<T: Deserialize<'b>>(&mut self, field: &'static str, place: &mut T) -> Result<(), PackError> {
        *place = self.take(field, 0)?;
        Ok(())
    }

    fn list<T, const N: usize>(&mut self, field: &'static str, place: &mut Vec<T, N>) -> Result<(), PackError>
    where
        T: Deserialize<'b>,
    {
        let got: u32 = self.take(field, 0)?;
        let full = PackError::Full { field, expected: N, got };
        if got as usize > N {
            return Err(full);
        }
        for index in 0..got as usize {
            place.push(self.take(field, index)?).map_err(|_| full)?;
        }
        Ok(())
    }
}
