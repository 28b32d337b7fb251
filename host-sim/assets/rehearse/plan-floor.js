// The floor's pixels, as the core paints them, laid where their blocks lie.

import { on, told } from './live.js';
import { look } from './look.js';
import { Newest, picture } from './newest.js';
import { stage } from './stage.js';
import { matrix, view } from './view.js';

let canvas = null;
let pixels = [];

/** Address of a canvas as it is looked at; `null` where there is nothing to show. */
function address(canvas, { live, cue, t_s, mode }) {
  const name = encodeURIComponent(canvas.name);
  if (live && told.box) return `/box/floor/${name}.png?n=${told.box.floor}`;
  if (cue === null) return null;
  const other = mode ? `&mode=${mode}` : '';
  return `/floor/${name}.png?cue=${cue}&t=${t_s.toFixed(2)}${other}&rev=${stage.show.revision}`;
}

function source(index) {
  let last = null;
  on('line', () => (last = null));
  const newest = new Newest(async (wish) => {
    const bitmap = wish && (await picture(wish));
    pixels[index]?.close();
    pixels[index] = bitmap;
    draw();
  });
  return (wish) => {
    if (wish !== last) newest.wish(wish);
    last = wish;
  };
}

function draw() {
  const ratio = devicePixelRatio || 1;
  const [wide, high] = [Math.round(view.wide * ratio), Math.round(view.high * ratio)];
  if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
  const brush = canvas.getContext('2d');
  brush.setTransform(1, 0, 0, 1, 0, 0);
  brush.clearRect(0, 0, wide, high);
  for (const block of stage.show?.blocks ?? []) lay(brush, ratio, block);
}

// Canvas pixels to stage metres to pixels of the plan, in one.
function lay(brush, ratio, block) {
  const bitmap = pixels[block.canvas];
  const [a, b, c, d, e, f] = block.map;
  const [s, , , , tx, ty] = matrix().map((value) => value * ratio);
  brush.setTransform(s * a, -s * d, s * b, -s * e, s * c + tx, ty - s * f);
  // Zoomed in, every LED is a square; zoomed out, they are averaged.
  brush.imageSmoothingEnabled = s * Math.hypot(a, d) < 1;
  brush.imageSmoothingQuality = 'high';
  const { x, y, w, h } = block;
  if (bitmap) brush.drawImage(bitmap, x, y, w, h, x, y, w, h);
  else {
    brush.fillStyle = '#0b0c0e';
    brush.fillRect(x, y, w, h);
  }
}

/** Begins to show floor pixels. */
export function beginFloor(of) {
  canvas = of;
  let sources = [];
  const wish = () => sources.forEach((ask, index) => ask(address(stage.show.canvases[index], look())));
  on('stage', ({ canvases }) => {
    if (sources.length !== canvases.length) sources = canvases.map((_, index) => source(index));
    wish();
    draw();
  });
  on('now', wish);
  on('box', wish);
  on('view', draw);
}
