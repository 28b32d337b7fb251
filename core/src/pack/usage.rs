//! How full a show is: every list against its capacity.

use super::fields::show_fields;
use crate::show::Show;

/// One list of a show against its capacity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Usage {
    /// Field of [`Show`].
    pub field: &'static str,
    /// Items in it.
    pub used: usize,
    /// Most items it holds.
    pub capacity: usize,
    /// Bytes in memory of one item.
    pub item_bytes: usize,
}

/// Number of lists in a show.
pub const LISTS: usize = 23;

/// Every list of the show in wire order.
pub fn usage(show: &Show) -> [Usage; LISTS] {
    macro_rules! each {
        (@ [$($done:expr,)*];) => { [$($done,)*] };
        (@ [$($done:expr,)*]; list $field:ident, $($rest:tt)*) => {
            each!(@ [$($done,)* of(stringify!($field), $field),]; $($rest)*)
        };
        (@ [$($done:expr,)*]; item $field:ident, $($rest:tt)*) => {{
            let _ = $field;
            each!(@ [$($done,)*]; $($rest)*)
        }};
        ($show:expr; $($kind:ident $field:ident,)*) => {{
            let Show { $($field),* } = $show;
            each!(@ []; $($kind $field,)*)
        }};
    }
    show_fields!(each!(show))
}

fn of<T, const N: usize>(field: &'static str, list: &heapless::Vec<T, N>) -> Usage {
    Usage { field, used: list.len(), capacity: N, item_bytes: size_of::<T>() }
}
