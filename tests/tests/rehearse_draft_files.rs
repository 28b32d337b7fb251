//! A draft and its file: what is written, and above all what is not.

use std::fs;
use std::path::{Path, PathBuf};

use underfoot_sim::demos::text_of;
use underfoot_sim::project::{load, parse};
use underfoot_sim::rehearse::draft::Draft;
use underfoot_sim::rehearse::draft::edit::Change;

/// A folder of a test's own, gone with it.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("underfoot-draft-{name}-{}", std::process::id()));
        fs::create_dir_all(&path).expect("a folder");
        Self(path)
    }

    fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.0.join(name);
        fs::write(&path, text).expect("a file");
        path
    }

    /// Every file with its bytes.
    fn files(&self) -> Vec<(PathBuf, Vec<u8>)> {
        let entries = fs::read_dir(&self.0).expect("a folder").map(|e| e.expect("an entry").path());
        let mut all: Vec<_> = entries.map(|path| (path.clone(), fs::read(path).unwrap_or_default())).collect();
        all.sort();
        all
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn demo() -> &'static str {
    text_of("clock-cabinet").expect("a demo")
}

fn opened(path: &Path) -> Draft {
    Draft::new(load(path).expect("a show"), Some(path.to_path_buf()))
}

fn moved(draft: &mut Draft, x: f64) {
    draft.change(&Change::MoveProp { name: "WATCH".into(), to: [x, -0.35] }).expect("a change");
}

#[test]
fn what_is_kept_is_the_text_and_only_where_it_was_read() {
    let folder = Folder::new("keep");
    let path = folder.write("show.toml", demo());
    let mut draft = opened(&path);
    assert!(draft.keep(None).expect_err("nothing has changed").contains("nothing to keep"));
    moved(&mut draft, 0.2);
    assert!(draft.told().unkept);
    assert_eq!(draft.keep(None), Ok(path.clone()));
    assert!(!draft.told().unkept);
    let kept = fs::read_to_string(&path).expect("the file");
    assert_eq!(kept, demo().replace("at = [0.15, -0.35]", "at = [0.20, -0.35]"));
    // What is taken back is not in the file again.
    draft.undo().expect("a step");
    assert!(draft.told().unkept);
    draft.keep(None).expect("the file is as it was kept");
    assert_eq!(folder.files(), [(path, demo().as_bytes().to_vec())]);
}

#[test]
fn somebody_elses_change_is_never_written_over() {
    let folder = Folder::new("theirs");
    let path = folder.write("show.toml", demo());
    let mut draft = opened(&path);
    moved(&mut draft, 0.2);
    let theirs = demo().replace("Clock Cabinet\"", "Clock Case\"");
    fs::write(&path, &theirs).expect("they write");
    let words = draft.keep(None).expect_err("theirs is there");
    assert!(words.contains("somebody else") && words.contains("Reload") && words.contains("another name"), "{words}");
    assert!(draft.told().changed_on_disk);
    assert_eq!(folder.files(), [(path.clone(), theirs.as_bytes().to_vec())]);
    let ours = draft.now().project.source.clone();
    draft.reload().expect("theirs is a show");
    assert_eq!(draft.now().project.source, theirs);
    let told = draft.told();
    assert_eq!((told.unkept, told.changed_on_disk, told.title.as_str()), (false, false, "Clock Case"));
    draft.undo().expect("ours is a step back");
    assert_eq!(draft.now().project.source, ours);
    draft.keep(None).expect("theirs was seen");
    assert_eq!(fs::read_to_string(&path).expect("the file"), ours);
}

#[test]
fn a_file_that_is_no_show_or_gone_is_said_and_nothing_changes() {
    let folder = Folder::new("broken");
    let path = folder.write("show.toml", demo());
    let mut draft = opened(&path);
    moved(&mut draft, 0.2);
    let (before, now) = (draft.told(), draft.now());
    fs::write(&path, "title = ").expect("they write");
    assert!(draft.reload().expect_err("no show").contains("show.toml:1:"));
    assert_eq!((draft.told(), draft.now().number), (before, now.number));
    fs::remove_file(&path).expect("they take it away");
    assert!(draft.keep(None).is_err());
    assert!(folder.files().is_empty());
    let copy = draft.clone_into(&folder.0);
    assert_eq!(fs::read_to_string(copy).expect("the copy"), now.project.source);
}

/// Keeps a draft under another name.
trait CloneInto {
    fn clone_into(self, folder: &Path) -> PathBuf;
}

impl CloneInto for Draft {
    fn clone_into(self, folder: &Path) -> PathBuf {
        self.in_folder(folder.to_path_buf()).keep(Some("copy.toml")).expect("a new name")
    }
}

#[test]
fn names_that_lead_elsewhere_write_nothing() {
    let folder = Folder::new("names");
    let inner = folder.0.join("inner");
    fs::create_dir_all(inner.join("x.toml.d")).expect("folders");
    fs::write(inner.join("there.toml"), "theirs").expect("a file");
    fs::create_dir_all(inner.join("folder.toml")).expect("a folder");
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(folder.0.join("target.toml"), inner.join("link.toml")).expect("a link");
        std::os::unix::fs::symlink(inner.join("there.toml"), inner.join("link-to-there.toml")).expect("a link");
    }
    let before = (folder.files(), Folder(inner.clone()));
    let inside = before.1.files();
    let project = parse("clock-cabinet", demo()).expect("a show");
    let names = [
        "../x.toml",
        "/etc/x.toml",
        "a\0.toml",
        "x.toml/..",
        "there.toml",
        "link.toml",
        "link-to-there.toml",
        "folder.toml",
        ".hidden.toml",
        "",
        ".toml",
        "x",
        "x.txt",
        "sub/x.toml",
        "..\\x.toml",
        "C:x.toml",
        "x.toml/",
        "./x.toml",
        "..",
        "~/x.toml",
        "-x.toml",
        "x\n.toml",
        "x.toml.d/x.toml",
    ];
    for name in names {
        let mut draft = Draft::new(project.clone(), None).in_folder(inner.clone());
        moved(&mut draft, 0.2);
        let told = draft.told();
        assert!(draft.keep(Some(name)).is_err(), "{name:?}");
        assert_eq!(draft.told(), told, "{name:?}");
        assert_eq!(folder.files(), before.0, "{name:?}");
        assert_eq!(before.1.files(), inside, "{name:?}");
    }
    let mut draft = Draft::new(project, None).in_folder(inner.clone());
    assert!(draft.keep(None).expect_err("a demo has no file").contains(".toml"));
    let path = draft.keep(Some("Try 2.toml")).expect("a plain name");
    assert_eq!(path, inner.join("Try 2.toml"));
    assert_eq!(draft.told().file, Some(path.display().to_string()));
    assert_eq!(fs::read_to_string(&path).expect("the file"), demo());
    // From then on it is the draft's file.
    moved(&mut draft, 0.3);
    assert_eq!(draft.keep(None), Ok(path));
}

#[test]
fn line_ends_and_a_mark_at_the_beginning_stay() {
    let folder = Folder::new("crlf");
    for start in ["", "\u{feff}"] {
        let text = format!("{start}{}", demo().replace('\n', "\r\n"));
        let path = folder.write("show.toml", &text);
        let mut draft = opened(&path);
        moved(&mut draft, 0.2);
        draft.change(&Change::TurnProp { name: "WATCH".into(), deg: 30.0 }).expect("a change");
        draft.keep(None).expect("kept");
        let place = "at = [0.20, -0.35]\r\nturn_deg = 30\r\n";
        let expected = text.replace("at = [0.15, -0.35]\r\n", place);
        assert_eq!(fs::read_to_string(&path).expect("the file"), expected);
    }
}

#[cfg(unix)]
#[test]
fn permissions_stay_and_a_link_is_followed() {
    use std::os::unix::fs::PermissionsExt;

    let folder = Folder::new("link");
    let real = folder.write("real.toml", demo());
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).expect("permissions");
    let link = folder.0.join("show.toml");
    std::os::unix::fs::symlink(&real, &link).expect("a link");
    let mut draft = opened(&link);
    moved(&mut draft, 0.2);
    draft.keep(None).expect("kept");
    assert!(fs::symlink_metadata(&link).expect("the link").is_symlink());
    assert_eq!(fs::metadata(&real).expect("the file").permissions().mode() & 0o777, 0o640);
    assert_ne!(fs::read_to_string(&real).expect("the file"), demo());
    assert_eq!(folder.files().len(), 2, "nothing is left beside it");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o440)).expect("permissions");
    moved(&mut draft, 0.3);
    assert!(draft.keep(None).expect_err("it may not be written").contains("may not be written"));
}

#[test]
fn a_survey_beside_the_file_is_read_with_every_change() {
    let folder = Folder::new("survey");
    let points = demo().find("point = [").expect("points");
    let end = points + demo()[points..].find("\n]\n").expect("their end") + 3;
    let text = format!("{}csv = \"survey.csv\"\n{}", &demo()[..points], &demo()[end..]);
    let csv = "P1,-1.5,-1.5,0,1.167,-3.660,0.117\nP2,1.5,-1.5,0,4.098,-3.016,0.119\nP3,1.5,1.5,0,3.455,-0.088,0.118\n";
    folder.write("survey.csv", csv);
    let path = folder.write("show.toml", &text);
    let mut draft = opened(&path);
    moved(&mut draft, 0.2);
    assert_eq!(draft.now().project.survey.points.len(), 3);
    fs::remove_file(folder.0.join("survey.csv")).expect("they take it away");
    let words = draft.change(&Change::TurnProp { name: "WATCH".into(), deg: 30.0 }).expect_err("no survey");
    assert!(words.contains("survey.csv"), "{words}");
    assert_eq!(draft.told().undo, 1);
    // Elsewhere there is no survey either: a show that could not be loaded again is not written.
    let other = Folder::new("survey-elsewhere");
    folder.write("survey.csv", csv);
    let mut draft = draft.in_folder(other.0.clone());
    assert!(draft.keep(Some("copy.toml")).is_err());
    assert!(other.files().is_empty());
}
