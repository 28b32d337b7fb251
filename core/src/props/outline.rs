//! The walk outline: the line round all keep-outs and edge bands, ready to be drawn.
//!
//! Every stretch of every boundary is cut where any other boundary may cross it, and the pieces that lie
//! inside another keep-out, in a band, in an entry or off the floor are left away. Nothing is stored: the
//! next cut is looked for from the last, so there is no limit to reach.

use super::ground::Ground;
use super::keepout::{KeepOut, Limit};
use crate::geom::{Region, StagePoint, StageVector, Stretch, polygon};

/// Pieces shorter than this are not drawn, and cuts nearer than this are one, metres.
pub const LEAST_M: f32 = 1e-3;
/// A point this deep inside another keep-out counts as on its boundary, metres.
const TOUCHING_M: f32 = 1e-4;

/// Calls `draw` with each piece of the walk outline and the limit that it belongs to.
///
/// Counter-clockwise round keep-outs; together the pieces bound where people may stand, within
/// [`LEAST_M`]. Two keep-outs that share a stretch of boundary both draw it. The floor's own end at level
/// sides is not drawn.
pub fn walk_outline(ground: &Ground<'_>, draw: &mut impl FnMut(Limit, Stretch)) {
    for item in ground.items() {
        for stretch in item.region.outline() {
            // Asked a little inside the band: its inner line is also the entry's end, to the last bit.
            let seen =
                |p, ahead: StageVector| !ground.is_waived(item.limit, p + ahead.perp() * LEAST_M) && is_free(ground, p);
            cut_and_keep(ground, &stretch, seen, &mut |piece| draw(item.limit, piece));
        }
    }
    for (limit, jamb) in ground.jambs() {
        // One side of a jamb is the entry; the other is the band unless a second entry begins there.
        let seen = |p, ahead| is_free(ground, p) && bounds_band(ground, limit, p, ahead);
        cut_and_keep(ground, &jamb, seen, &mut |piece| draw(limit, piece));
    }
}

/// Calls `draw` with the pieces of the boundary of a union of regions, the union on the left.
///
/// For outlines of props: what lies inside another part, or is a joint of two parts that touch side by
/// side, is left away; where two parts share a stretch of the outside it is drawn once.
pub fn union_outline(regions: &[Region], draw: &mut impl FnMut(Stretch)) {
    for (i, region) in regions.iter().enumerate() {
        for stretch in region.outline() {
            let cuts = |cut: &mut dyn FnMut(f32)| {
                regions.iter().for_each(|other| cuts_by_region(&stretch, other, cut));
            };
            let seen = |p: StagePoint, ahead: StageVector| {
                let inwards = ahead.perp() * (2.0 * TOUCHING_M);
                regions.iter().enumerate().all(|(j, other)| {
                    let outside = other.signed_distance(p - inwards) > 0.0;
                    let drawn_already = j < i && other.contains(p + inwards) && other.signed_distance(p) > -TOUCHING_M;
                    outside && !drawn_already
                })
            };
            keep(&stretch, &cuts, &seen, draw);
        }
    }
}

fn is_free(ground: &Ground<'_>, p: StagePoint) -> bool {
    let clear = |k: &KeepOut| k.signed_distance(p) >= -TOUCHING_M || ground.is_waived(k.limit, p);
    polygon::contains(ground.outline(), p) && ground.items().all(clear)
}

/// True when exactly one side of the jamb at `p` is waived.
fn bounds_band(ground: &Ground<'_>, limit: Limit, p: StagePoint, ahead: StageVector) -> bool {
    let step = ahead.perp() * LEAST_M;
    ground.is_waived(limit, p + step) != ground.is_waived(limit, p - step)
}

fn cut_and_keep(
    ground: &Ground<'_>,
    stretch: &Stretch,
    seen: impl Fn(StagePoint, StageVector) -> bool,
    draw: &mut impl FnMut(Stretch),
) {
    let cuts = |cut: &mut dyn FnMut(f32)| {
        ground.items().for_each(|item| cuts_by_region(stretch, &item.region, cut));
        for (from, to) in polygon::sides(ground.outline()) {
            stretch.cuts(&Stretch::Line { from, to }, &mut |t| cut(t));
        }
        ground.jambs().for_each(|(_, jamb)| stretch.cuts(&jamb, &mut |t| cut(t)));
    };
    keep(stretch, &cuts, &seen, draw);
}

fn cuts_by_region(stretch: &Stretch, region: &Region, cut: &mut dyn FnMut(f32)) {
    let (centre, radius_m) = region.bounds();
    let apart = match *stretch {
        Stretch::Line { from, to } => crate::geom::segment::distance(centre, from, to) > radius_m,
        Stretch::Arc { centre: c, radius_m: r, .. } => centre.distance(c) > radius_m + r,
    };
    if !apart {
        region.outline().for_each(|other| stretch.cuts(&other, &mut |t| cut(t)));
    }
}

/// Walks along the stretch from cut to cut and draws the runs whose middles are seen.
fn keep(
    stretch: &Stretch,
    cuts: &impl Fn(&mut dyn FnMut(f32)),
    seen: &impl Fn(StagePoint, StageVector) -> bool,
    draw: &mut impl FnMut(Stretch),
) {
    let length = stretch.length();
    if length < LEAST_M {
        return;
    }
    let step = LEAST_M / length;
    let (mut from, mut run_start) = (0.0_f32, None);
    while from < 1.0 {
        let mut to = 1.0_f32;
        cuts(&mut |t| {
            if t > from + step && t < to {
                to = t;
            }
        });
        if 1.0 - to < step {
            to = 1.0;
        }
        let middle = (from + to) / 2.0;
        let is_seen = seen(stretch.point(middle), stretch.heading(middle));
        match (is_seen, run_start) {
            (true, None) => run_start = Some(from),
            (false, Some(start)) => {
                draw(stretch.part(start, from));
                run_start = None;
            }
            _ => {}
        }
        from = to;
    }
    if let Some(start) = run_start {
        draw(stretch.part(start, 1.0));
    }
}
