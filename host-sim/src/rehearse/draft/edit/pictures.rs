//! Changes of cameras and shots.

use toml_edit::Document;

use super::page::{Page, Row, named, rows};

type Text<'d> = Document<&'d str>;

pub(super) fn move_camera(
    document: &Text<'_>,
    page: &mut Page<'_>,
    name: &str,
    to: [f64; 2],
    z: Option<f64>,
) -> Result<(), String> {
    let camera = named(document, "camera", name)?;
    if camera.has("base") {
        page.place(camera, "base", to)?;
        return z.map_or(Ok(()), |z| page.number(camera, "pivot_m", z, "base"));
    }
    let poses: Vec<Row<'_>> = poses_of(document, name).collect();
    let from = camera.place("at").or_else(|| poses.iter().find_map(|pose| pose.place("from")));
    if from.is_none() {
        return Err(format!("camera \"{name}\" has no place in the show file: give it `at` there first"));
    }
    let mut go = |row: Row<'_>, key: &str| match z {
        Some(z) => page.place(row, key, [to[0], to[1], z]).map(|_| ()),
        None => page.place(row, key, to).map(|_| ()),
    };
    if camera.has("at") {
        go(camera, "at")?;
    }
    poses.into_iter().filter(|pose| pose.place("from") == from).try_for_each(|pose| go(pose, "from"))
}

/// The shots of a camera and their keys: whatever may say where it is taken from.
fn poses_of<'d>(document: &'d Text<'_>, camera: &str) -> impl Iterator<Item = Row<'d>> {
    let shots = rows(document, "shot").into_iter().filter(move |row| row.text("camera") == Some(camera));
    shots.flat_map(|shot| std::iter::once(shot).chain(shot.rows("key")))
}

pub(super) fn aim(
    document: &Text<'_>,
    page: &mut Page<'_>,
    (name, key): (&str, Option<usize>),
    look: [f64; 3],
) -> Result<(), String> {
    page.place(pose(named(document, "shot", name)?, (name, key), "look")?, "look", look).map(|_| ())
}

pub(super) fn zoom(
    document: &Text<'_>,
    page: &mut Page<'_>,
    (name, key): (&str, Option<usize>),
    focal_mm: f64,
) -> Result<(), String> {
    page.number(pose(named(document, "shot", name)?, (name, key), "focal_mm")?, "focal_mm", focal_mm, "camera")
}

/// The table that says what a pose of a shot has under `what`: its own, or the shot's where the key leaves it out.
fn pose<'d>(shot: Row<'d>, (name, key): (&str, Option<usize>), what: &str) -> Result<Row<'d>, String> {
    let keys = shot.rows("key");
    let pose = match (key, keys.len()) {
        (None | Some(0), 0) => shot,
        (None, poses) => return Err(format!("shot \"{name}\" goes through {poses} poses: say which")),
        (Some(key), poses) => {
            keys.get(key).copied().ok_or_else(|| format!("shot \"{name}\" has {} poses", poses.max(1)))?
        }
    };
    Ok(if pose.has(what) { pose } else { shot })
}
