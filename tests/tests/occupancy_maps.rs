//! Maps of the demo shows: their sizes, the same word for a cell of a map and for one question, and free room
//! against another library's.

use std::path::Path;

use underfoot_core::occupancy::{CellClass, Grid, class_of};
use underfoot_sim::occupancy::json::letter;
use underfoot_sim::occupancy::words::class_word;
use underfoot_sim::occupancy::{Chart, Room};
use underfoot_sim::project;
use underfoot_tests::device::shows::DEMOS;
use underfoot_tests::dice::Dice;

fn demo(name: &str) -> project::Project {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../host-sim/demos/{name}.toml"));
    project::load(&path).unwrap_or_else(|errors| panic!("{name}: {errors}"))
}

/// Every cell with another class than a neighbour, and one in 40 of the others: where a shape ends, a map can be
/// wrong by a cell; where it does not, by a whole block of 8 x 8.
#[test]
fn every_cell_of_every_demo_cue_is_what_one_question_says() {
    let mut dice = Dice::new(0x3A9);
    let mut seen = [0usize; 8];
    for name in DEMOS {
        let demo = demo(name);
        for (cue, at_s) in demo.show.cues.iter().flat_map(|cue| [(cue, 0.0), (cue, 3.7)]) {
            let chart = Chart::of(&demo.show, cue, at_s, demo.cell_mm / 1000.0).unwrap();
            let (columns, classes) = (chart.grid().columns(), chart.classes());
            for (i, &class) in classes.iter().enumerate() {
                let unlike = |j: Option<usize>| j.and_then(|j| classes.get(j)).is_some_and(|&c| c != class);
                let border = [i.checked_sub(1), Some(i + 1), i.checked_sub(columns), Some(i + columns)];
                if border.into_iter().any(unlike) || dice.one_in(40) {
                    let cell = chart.grid().cell(i % columns, i / columns).unwrap();
                    let one = class_of(&demo.show, cue, at_s, &cell).unwrap().class;
                    assert_eq!(class, one, "{name}, cue {} after {at_s} s: {cell:?}", cue.number);
                    seen[class as usize] += 1;
                }
            }
        }
    }
    assert!(seen.iter().all(|&count| count > 100), "every class, by its number: {seen:?}");
}

/// Two cells a byte: 3 m at 20 mm are 150 x 150 cells. The larger floors are as built, with joints, so they take a
/// column or two more than their names say: 10.010 x 8.008 m at 25 mm, a quarter of 30.030 x 20.020 m at 50 mm.
#[test]
fn the_memory_of_the_demo_floors() {
    let grid = |name: &str| {
        let demo = demo(name);
        Grid::of(&demo.show, demo.cell_mm / 1000.0).unwrap()
    };
    let small = grid("clock-cabinet");
    assert_eq!((small.columns(), small.rows(), small.bytes()), (150, 150, 11_250));
    let studio = grid("harbour-hour");
    assert_eq!((studio.columns(), studio.rows(), studio.bytes()), (402, 322, 64_722));
    let arena = demo("lantern-field");
    for block in arena.show.blocks.iter().zip(&arena.floor_blocks).filter(|(_, walked)| **walked).map(|(b, _)| b) {
        let corners = block.corners();
        let quarter = Grid::over(corners[3], corners[1], arena.cell_mm / 1000.0).unwrap();
        assert_eq!((quarter.columns(), quarter.rows(), quarter.bytes()), (301, 201, 30_251), "{}", block.name);
    }
}

/// Cells of a part of a floor lie where those of the whole floor do.
#[test]
fn a_quarter_fits_into_the_whole() {
    let arena = demo("lantern-field");
    let whole = Grid::of(&arena.show, arena.cell_mm / 1000.0).unwrap();
    let corners = arena.show.blocks[0].corners();
    let quarter = Grid::over(corners[3], corners[1], arena.cell_mm / 1000.0).unwrap();
    let low = quarter.cell(0, 0).unwrap();
    let same = (0..whole.rows()).any(|row| (0..whole.columns()).any(|c| whole.cell(c, row) == Some(low)));
    assert!(same, "{low:?}");
}

/// SciPy's exact transform of random maps, recorded by `fixtures/room/record.py`.
#[test]
fn free_room_is_what_scipy_says() {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/room/room.txt")).unwrap();
    let mut lines = text.lines();
    let mut maps = 0;
    while let Some(head) = lines.next() {
        let sizes: Vec<usize> = head.split(' ').map(|n| n.parse().unwrap()).collect();
        let [columns, rows, across, along] = sizes[..] else { panic!("{head}") };
        let taken: Vec<bool> = lines.by_ref().take(rows).flat_map(|row| row.chars().map(|cell| cell == '0')).collect();
        let squares: Vec<Option<u64>> =
            lines.by_ref().take(rows).flat_map(|row| row.split(' ').map(|n| n.parse().ok())).collect();
        assert_eq!((taken.len(), squares.len()), (columns * rows, columns * rows));
        let room = Room::between(&taken, columns, (across as u32, along as u32));
        assert_eq!(room.squares(), squares, "{head}");
        maps += 1;
    }
    assert_eq!(maps, 10);
}

/// Nobody is kept off by what is overhead or dark.
#[test]
fn room_is_measured_to_what_keeps_people_off() {
    let keeping: Vec<CellClass> = CellClass::ORDER.into_iter().filter(|class| class.keeps_off()).collect();
    use CellClass::{Body, Contact, Edge, Physical, SweptSoon};
    assert_eq!(keeping, [Contact, Body, SweptSoon, Edge, Physical]);
}

/// The order, the numbers and the letters that the map's page promises.
#[test]
fn the_page_says_what_the_code_does() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/docs/occupancy.md");
    let page = std::fs::read_to_string(path).unwrap();
    let order = CellClass::ORDER.map(class_word).join(", ");
    assert!(page.contains(&format!("**{order}.**")), "{order}");
    for class in CellClass::ORDER {
        assert!(page.contains(&format!("| {} | {} |", class as u8, class_word(class))), "{class:?}");
        assert!(page.contains(&format!("`{}` {}", letter(class), class_word(class))), "{class:?}");
    }
}
