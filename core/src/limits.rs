//! Every capacity in one place. A show that passes a limit is refused whole, with both numbers.
//!
//! The byte cost of each list is its capacity times the size of its items; `core/docs/budgets.md`
//! has the table, and the assertions at the end of `show` and `paint` keep the sums honest.

/// Canvases (separate output pictures) of one show.
pub const CANVASES: usize = 8;
/// Blocks (canvas rectangles with one map each) over all canvases.
pub const BLOCKS: usize = 32;
/// Dead or missing panels that are declared.
pub const TILE_FAULTS: usize = 32;
/// Vertices of the floor's own outline.
pub const FLOOR_VERTICES: usize = 16;
/// Declared places where people may cross the floor's edge.
pub const ENTRIES: usize = 8;
/// Readings of one survey.
pub const SURVEY_POINTS: usize = 24;
/// LED walls.
pub const WALLS: usize = 8;
/// Physical things on the floor: risers, ramps, steps, furniture, rugs, columns.
pub const PHYSICALS: usize = 24;
/// Person classes.
pub const CLASSES: usize = 16;
/// People.
pub const PEOPLE: usize = 32;
/// Props.
pub const PROPS: usize = 32;
/// Parts over all props.
pub const PARTS: usize = 96;
/// Vertices over all polygonal parts.
pub const PART_VERTICES: usize = 768;
/// Vertices of one convex footprint polygon.
pub const HULL_VERTICES: usize = 16;
/// Motions over all props.
pub const MOTIONS: usize = 32;
/// Position keys over all motions.
pub const MOTION_KEYS: usize = 96;
/// Cameras.
pub const CAMERAS: usize = 8;
/// Shots.
pub const SHOTS: usize = 24;
/// Pose keys over all moving shots.
pub const SHOT_KEYS: usize = 48;
/// Marks.
pub const MARKS: usize = 64;
/// Walk lines.
pub const LINES: usize = 32;
/// Points over all walk lines.
pub const LINE_POINTS: usize = 192;
/// Cues.
pub const CUES: usize = 48;
/// Prop states over all cues.
pub const CUE_PROPS: usize = 256;
/// Person placements over all cues.
pub const CUE_PLACES: usize = 256;
/// Intended shots over all cues.
pub const CUE_SHOTS: usize = 192;

/// sACN sources of one universe that are told apart.
pub const SACN_SOURCES: usize = 4;
/// Boxes of one show: a main one and a backup for each canvas.
pub const CREW: usize = 2 * CANVASES;
/// Changes that people made on the set and that the boxes tell each other: panels, and moved marks and props.
pub const CREW_CHANGES: usize = TILE_FAULTS + 32;

/// Packets of pixel tape that are sent in one poll, of which one is painted: keys come first.
pub const TAPE_PACKETS_PER_POLL: usize = 4;
/// Highest number of a sACN universe (ANSI E1.31-2018, 6.2.7).
pub const UNIVERSE_MAX: u16 = 63_999;

/// Longest side of a canvas in pixels: keeps 16.16 fixed-point products inside 64 bits.
pub const CANVAS_SIDE_PX: u16 = 16_384;
/// Farthest coordinate from the stage origin, in metres.
pub const STAGE_REACH_M: f32 = 200.0;

/// Letters in a mark's label.
pub const LABEL_CHARS: usize = 3;
/// Bytes in the name of a thing.
pub const NAME_BYTES: usize = 16;
/// Bytes in a title or a cue's name.
pub const TITLE_BYTES: usize = 40;

/// Bytes in the short line about what was just done at the box.
pub const FACE_LINE_BYTES: usize = 24;

/// Longest pack, header and checksum included, that a box stores.
pub const PACK_BYTES: usize = 32 * 1024;

/// Entries of a box's list of what happened.
pub const RING: usize = 64;

/// Points of the box's scene, which holds one canvas at a time.
pub const BOX_POINTS: usize = 3200;
/// Contours of the box's scene.
pub const BOX_CONTOURS: usize = 768;
/// Shapes of the box's scene.
pub const BOX_SHAPES: usize = 256;
/// Descending chains of the box's scene on one block.
pub const BOX_CHAINS: usize = 1216;
/// Chains across one row of the box's canvases.
pub const BOX_ACTIVE: usize = 336;
/// Changes of cover in one row of the box's canvases.
pub const BOX_EVENTS: usize = 1280;
/// Widest block that the box paints, pixels.
pub const BOX_COLUMNS: usize = 2560;

/// Shapes of one scene: the painter keeps one bit for each in a two-level set of 32-bit words.
pub const SCENE_SHAPES: usize = 1024;

/// Nodes along one side of a zone's grid, the rim included.
pub const ZONE_SIDE: usize = 257;
/// Corners of the border of what is allowed, before it is shrunk to a zone.
pub const ZONE_POSTS: usize = 2048;
/// Corners of a zone's outline, all rings together.
pub const ZONE_POINTS: usize = 1024;
/// Rings of a zone's outline: the outer one and its holes.
pub const ZONE_RINGS: usize = 16;
/// Bounds that an empty zone names.
pub const ZONE_FIGHTING: usize = 3;

/// Things that one planned way goes round: parts of props, furniture, bands of the floor, raised sides.
pub const WALK_OBSTACLES: usize = 200;
/// Things that are away from their stored places at once, moved by hand.
pub const NUDGES: usize = 16;
/// Arrivals at corners that planning one leg keeps.
pub const WALK_LABELS: usize = 820;

/// Regions of one moving prop's way that are drawn each by itself; further ones are drawn as one with the last.
pub const SWEEP_REGIONS: usize = 8;
/// Pieces of one moving prop's border that are kept while it is drawn.
pub const SWEEP_PIECES: usize = 32;

/// Most desks that a box talks to by datagrams at once; who says hello beyond that takes the place of the one that has
/// been silent longest.
pub const DATAGRAM_DESKS: usize = 4;
/// Most datagrams that a box takes in one poll.
pub const DATAGRAMS_PER_POLL: usize = 4;
