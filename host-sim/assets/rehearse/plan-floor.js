// The floor's pixels, as the core paints them, laid where their blocks lie.

import { on, told } from './live.js';
import { look } from './look.js';
import { Newest, areSame, bitmap, bytes } from './newest.js';
import { onChange, soon } from './sparing.js';
import { stage } from './stage.js';
import { matrix, view } from './view.js';

let canvas = null;
let sources = [];

/** Address of a canvas as it is looked at; `null` where there is nothing to show. */
function address(canvas, { live, cue, t_s, mode }) {
  const name = encodeURIComponent(canvas.name);
  if (live && told.box) return `/box/floor/${name}.png?n=${told.box.floor}`;
  if (cue === null) return null;
  const other = mode ? `&mode=${mode}` : '';
  return `/floor/${name}.png?cue=${cue}&t=${t_s.toFixed(2)}${other}&rev=${stage.show.revision}`;
}

// One canvas of the floor: what is asked for is fetched once, and what is the same as before is not painted again.
function source() {
  let [last, png] = [null, null];
  const of = {
    pixels: null,
    forget: () => (last = null),
    wish(wish) {
      if (wish !== last) newest.wish(wish);
      last = wish;
    },
  };
  const newest = new Newest(async (wish) => {
    const now = wish ? await bytes(wish) : null;
    if (areSame(now, png)) return;
    png = now;
    const old = of.pixels;
    of.pixels = await bitmap(now);
    old?.close();
    draw();
  });
  return of;
}

function wish() {
  const { canvases = [] } = stage.show ?? {};
  if (sources.length !== canvases.length) {
    sources = canvases.map(source);
  }
  sources.forEach((of, index) => of.wish(address(canvases[index], look())));
}

const draw = soon(() => {
  const ratio = devicePixelRatio || 1;
  const [wide, high] = [Math.round(view.wide * ratio), Math.round(view.high * ratio)];
  if (canvas.width !== wide || canvas.height !== high) [canvas.width, canvas.height] = [wide, high];
  const brush = canvas.getContext('2d');
  brush.setTransform(1, 0, 0, 1, 0, 0);
  brush.clearRect(0, 0, wide, high);
  for (const block of stage.show?.blocks ?? []) lay(brush, ratio, block);
});

// Canvas pixels to stage metres to pixels of the plan, in one.
function lay(brush, ratio, block) {
  const pixels = sources[block.canvas]?.pixels;
  const [a, b, c, d, e, f] = block.map;
  const [s, , , , tx, ty] = matrix().map((value) => value * ratio);
  brush.setTransform(s * a, -s * d, s * b, -s * e, s * c + tx, ty - s * f);
  // Zoomed in, every LED is a square; zoomed out, they are averaged.
  brush.imageSmoothingEnabled = s * Math.hypot(a, d) < 1;
  brush.imageSmoothingQuality = 'high';
  const { x, y, w, h } = block;
  if (pixels) brush.drawImage(pixels, x, y, w, h, x, y, w, h);
  else {
    brush.fillStyle = '#0b0c0e';
    brush.fillRect(x, y, w, h);
  }
}

/** Begins to show floor pixels. */
export function beginFloor(of) {
  canvas = of;
  on('line', () => sources.forEach((of) => of.forget()));
  ['stage', 'now', 'box'].forEach((kind) => on(kind, wish));
  const lie = onChange(draw);
  on('stage', ({ blocks }) => lie(blocks));
  on('view', draw);
}
