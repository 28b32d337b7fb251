//! The fields of a show in wire order, once, for everything that walks them.

/// Calls macro `$callback` with `$args` and every field of [`Show`](crate::show::Show) in wire order, marked `item`
/// or `list`. A field that is missing here does not compile: the callbacks take the show apart whole.
macro_rules! show_fields {
    ($callback:ident!($($args:tt)*)) => {
        $callback! {
            $($args)*;
            item title, item frame_rate, item survey_allowance_m, item latency_ms, item look, item control,
            list canvases, list blocks, list tile_faults, item floor, list entries, list walls, list physicals,
            list classes, list people,
            list props, list parts, list part_vertices, list motions, list motion_keys,
            list cameras, list shots, list shot_keys,
            list marks, list lines, list line_points,
            list cues, list cue_props, list cue_places, list cue_shots,
        }
    };
}

pub(super) use show_fields;
