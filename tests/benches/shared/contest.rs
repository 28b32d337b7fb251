//! Every painter with its memory, ready to run again and again.

use std::hint::black_box;

use underfoot_core::floor::Block;
use underfoot_core::paint::changed::changed_rows;
use underfoot_core::paint::{Rgba, Scene};
use vello_cpu::RenderMode;

use super::rivals::{Curves, Skia, Vello};
use super::subjects::Subject;
use super::targets::{Work, frame, runs_alone};

/// What is timed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Job {
    /// Finding the runs, no pixel written.
    Runs,
    /// A whole premultiplied RGBA picture in a reused buffer.
    Frame,
    /// The rows that one moved mark touches, in the same buffer.
    OneMark,
    /// Filling the same buffer: the limit.
    Fill,
    /// tiny-skia.
    Skia,
    /// vello_cpu as it comes: it cuts curves to a quarter pixel, which is many levels off.
    Vello,
    /// vello_cpu with curves cut as finely as the painter under test cuts them: equal error.
    VelloFine,
    /// The same with its most exact colours.
    VelloExact,
}

/// Everything that is timed.
pub(crate) const JOBS: [Job; 8] =
    [Job::Runs, Job::Frame, Job::OneMark, Job::Fill, Job::Skia, Job::Vello, Job::VelloFine, Job::VelloExact];
/// Those that paint whole pictures.
pub(crate) const PAINTERS: [Job; 5] = [Job::Frame, Job::Skia, Job::Vello, Job::VelloFine, Job::VelloExact];

impl Job {
    /// Its name in the tables.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Runs => "runs alone",
            Self::Frame => "full frame",
            Self::OneMark => "one changed mark",
            Self::Fill => "plain fill",
            Self::Skia => "tiny-skia",
            Self::Vello => "vello_cpu",
            Self::VelloFine => "vello_cpu, fine",
            Self::VelloExact => "vello_cpu, fine, f32",
        }
    }
}

/// One block with its buffers and the rivals' scenes.
struct Part {
    block: Block,
    pixels: Vec<Rgba>,
    bytes: Vec<u8>,
    skia: Skia,
    vello: Vello,
    fine: Vello,
}

/// All blocks of a subject.
pub(crate) struct Bench {
    work: Box<Work>,
    parts: Vec<Part>,
}

impl Bench {
    /// Prepares every painter for `scene`.
    pub(crate) fn new(scene: &Scene<'_>, subject: &Subject) -> Self {
        Self::of_blocks(scene, &subject.blocks)
    }

    /// The same for blocks alone.
    pub(crate) fn of_blocks(scene: &Scene<'_>, blocks: &[Block]) -> Self {
        let part = |block: &Block| {
            let count = usize::from(block.width_px) * usize::from(block.height_px);
            Part {
                block: block.clone(),
                pixels: vec![Rgba::CLEAR; count],
                bytes: vec![0; count * 4],
                skia: Skia::new(scene, block),
                vello: Vello::new(scene, block, Curves::Own),
                fine: Vello::new(scene, block, Curves::Fine),
            }
        };
        Self { work: Box::new(Work::new()), parts: blocks.iter().map(part).collect() }
    }

    /// Runs of all blocks.
    pub(crate) fn runs(&mut self, scene: &Scene<'_>) -> u64 {
        let Self { work, parts } = self;
        parts.iter().map(|part| runs_alone(scene, &part.block, work).runs).sum()
    }

    /// Does `job` once on every block; `other` is the scene with one mark moved.
    pub(crate) fn run(&mut self, job: Job, scene: &Scene<'_>, other: &Scene<'_>) {
        for part in &mut self.parts {
            part.run(job, scene, other, &mut self.work);
        }
    }

    /// The blocks, and the levels of all channels of a row of one of them as `job` left them.
    pub(crate) fn blocks(&self) -> impl Iterator<Item = (usize, &Block)> {
        self.parts.iter().map(|p| &p.block).enumerate()
    }

    /// Levels of all channels of `row` of block `index`, as `job` left them.
    pub(crate) fn row(&self, job: Job, index: usize, row: u16) -> Vec<u8> {
        let part = &self.parts[index];
        let width = usize::from(part.block.width_px);
        let first = usize::from(row) * width;
        if job == Job::Frame {
            part.pixels[first..first + width].iter().flat_map(|p| [p.r, p.g, p.b, p.a]).collect()
        } else {
            part.bytes[first * 4..(first + width) * 4].to_vec()
        }
    }
}

impl Part {
    fn run(&mut self, job: Job, scene: &Scene<'_>, other: &Scene<'_>, work: &mut Work) {
        let block = &self.block;
        match job {
            Job::Runs => {
                black_box(runs_alone(scene, block, work));
            }
            Job::Frame => frame(scene, block, 0..block.height_px, work, &mut self.pixels),
            Job::OneMark => {
                for rows in changed_rows(scene, other, block).ranges() {
                    frame(other, block, rows.clone(), work, &mut self.pixels);
                }
            }
            Job::Fill => black_box(&mut self.pixels).fill(Rgba::CLEAR),
            Job::Skia => {
                let (width, height) = (block.width_px.into(), block.height_px.into());
                let target = tiny_skia::PixmapMut::from_bytes(&mut self.bytes, width, height);
                self.skia.paint(&mut target.expect("a buffer that fits"));
            }
            Job::Vello => self.vello.paint(&mut self.bytes, RenderMode::OptimizeSpeed),
            Job::VelloFine => self.fine.paint(&mut self.bytes, RenderMode::OptimizeSpeed),
            Job::VelloExact => self.fine.paint(&mut self.bytes, RenderMode::OptimizeQuality),
        }
    }
}
