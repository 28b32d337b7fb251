// What stays: the floor's edges, walls, entries, furniture, the grid and the ruler.

import { put, svg } from './dom.js';
import { Tags, line, loops, path, paths } from './draw.js';
import { on } from './live.js';
import { onChange, soon } from './sparing.js';
import { stage } from './stage.js';
import { plain, square } from './words.js';
import { toScreen, toStage, view } from './view.js';

const STEPS_M = [0.1, 0.25, 0.5, 1, 2, 5, 10, 20];
const LEAST_PX = 46;
/** Buttons are above this. */
const CLEAR_PX = 48;

function room(show) {
  return [
    ...show.physicals.map((one) => path(loops([one.outline]), 'physical', `${one.name}: ${one.kind}`)),
    path(loops([show.floor.outline]), 'floor-edge'),
    squareLines(show),
    ...show.walls.map((wall) => path(line([wall.from, wall.to]), 'wall', `wall ${wall.name}`)),
    ...show.entries.map((entry) => svg('circle', {
      cx: entry.at[0], cy: entry.at[1], r: entry.width_m / 2, class: 'entry',
    }, svg('title', { text: `entry ${entry.name}` }))),
  ];
}

function bounds({ outline }) {
  const [xs, ys] = [0, 1].map((axis) => outline.map((point) => point[axis]));
  return [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
}

function sides({ floor, naming }) {
  const [x0, x1, y0, y1] = bounds(floor);
  if (naming.places === 'grid') return squares([x0, x1, y0, y1], naming.grid_m);
  const [x, y] = [(x0 + x1) / 2, (y0 + y1) / 2];
  return [
    side('US', [x, y1], 0, -12), side('DS', [x, y0], 0, 20), side('SR', [x0, y], -16, 4), side('SL', [x1, y], 16, 4),
  ];
}

// Letters of the columns above and below, numbers of the rows at both sides.
function squares([x0, x1, y0, y1], gap) {
  const middles = (from, to) => ticks(0, to - from - gap / 2, gap).map((m) => from + m + gap / 2);
  const columns = middles(x0, x1).map((x) => [x, square([x, y0]).slice(0, 1)]);
  const rows = middles(y0, y1).map((y) => [y, square([x0, y]).slice(1)]);
  return [
    ...columns.flatMap(([x, letter]) => [side(letter, [x, y1], 0, -8), side(letter, [x, y0], 0, 18)]),
    ...rows.flatMap(([y, number]) => [side(number, [x0, y], -12, 4), side(number, [x1, y], 12, 4)]),
  ];
}

// Its lines, for they are not those of the ruler.
function squareLines({ floor, naming }) {
  if (naming.places !== 'grid') return null;
  const [x0, x1, y0, y1] = bounds(floor);
  const down = ticks(0, x1 - x0, naming.grid_m).map((m) => `M${x0 + m} ${y0}V${y1}`);
  const along = ticks(0, y1 - y0, naming.grid_m).map((m) => `M${x0} ${y0 + m}H${x1}`);
  return path([...down, ...along].join(''), 'square-line');
}

function side(words, at, x, y) {
  return { at, sign: `${words} ${x} ${y}`, node: () => svg('text', { x, y, class: 'side', text: words }) };
}

// The widest grid whose lines are far enough apart to be read.
function step() {
  return STEPS_M.find((m) => m * view.scale >= LEAST_PX) ?? STEPS_M.at(-1);
}

function ticks(from, to, gap) {
  const all = [];
  for (let n = Math.ceil(from / gap); n * gap <= to; n += 1) all.push(n * gap);
  return all;
}

function grid() {
  const gap = step();
  const [[x0, y1], [x1, y0]] = [toStage([0, 0]), toStage([view.wide, view.high])];
  const [xs, ys] = [ticks(x0, x1, gap), ticks(y0, y1, gap)];
  const lines = [
    ...xs.map((x) => `M${x} ${y0}V${y1}`), ...ys.map((y) => `M${x0} ${y}H${x1}`),
  ].join('');
  return { lines: [[lines, 'grid-line'], [`M0 ${y0}V${y1}M${x0} 0H${x1}`, 'grid-axis']], xs, ys, gap };
}

// Figures along the lower and the left edge of the plan, as on a tape measure.
function ruler({ xs, ys, gap }) {
  const decimals = gap < 0.5 ? 2 : gap < 1 ? 1 : 0;
  const [low] = [toStage([0, view.high])];
  const along = xs.map((x) => figure([x, low[1]], 0, -5, plain(x, decimals)));
  const clear = ys.filter((y) => toScreen([0, y])[1] > CLEAR_PX);
  const up = clear.map((y) => figure([low[0], y], 5, 4, plain(y, decimals), 'up'));
  // The corner belongs to neither.
  return [...along.slice(xs.length > 2 && (xs[0] - low[0]) * view.scale < 30 ? 1 : 0), ...up.slice(1)];
}

function figure(at, x, y, words, classes = '') {
  const node = () => svg('text', { x, y, class: `figure ${classes}`, text: words });
  return { at, sign: `${classes} ${words} ${x} ${y}`, node };
}

/** Begins to draw the room. */
export function beginRoom(groups) {
  const tags = new Tags(groups['grid-tags']);
  const draw = soon(() => {
    if (!stage.show) return;
    const now = grid();
    paths(groups.grid, now.lines);
    tags.fill([...sides(stage.show), ...ruler(now)]);
  });
  const build = onChange((of) => put(groups.room, room(of)));
  on('stage', ({ floor, walls, entries, physicals, naming }) => {
    build({ floor, walls, entries, physicals, naming });
    draw();
  });
  on('view', draw);
}
