// Helpers for drawing on the plan: paths in stage metres, and tags of a fixed size that stay at a place.

import { set, svg } from './dom.js';
import { shape } from './signs.js';
import { refill } from './sparing.js';
import { toScreen } from './view.js';

const FONT = '700 11px system-ui, "Liberation Sans", sans-serif';
const LINE_PX = 15;

const brush = document.createElement('canvas').getContext('2d');
const widths = new Map();

// Half the width of a plate that holds words even when they are bold.
function halfOf(words) {
  if (!widths.has(words)) {
    brush.font = FONT;
    widths.set(words, brush.measureText(words).width / 2 + 4);
  }
  return widths.get(words);
}

/** Loops of places as one closed path. */
export function loops(all) {
  return all.map((loop) => `${line(loop)}Z`).join('');
}

/** Places as an open path. */
export function line(points) {
  return points.map(([x, y], i) => `${i ? 'L' : 'M'}${x} ${y}`).join('');
}

/** A path in stage metres. */
export function path(d, classes, title) {
  return svg('path', { d, class: classes }, title && svg('title', { text: title }));
}

/** Fills a group with paths, each `[d, classes, title]`: those that lie where they lay stay. */
export function paths(group, all) {
  refill(group, all.filter(Boolean), (one) => one.join('|'), (one) => path(...one));
}

/** A unit vector at so many degrees, counter-clockwise from stage left. */
export function toward(degrees) {
  const angle = (degrees * Math.PI) / 180;
  return [Math.cos(angle), Math.sin(angle)];
}

/** A group of tags: things of a fixed size that belong to places of the stage. */
export class Tags {
  #tags = [];

  #taken = [];

  /** Tags of a group; their words make room for those of `before`, too. */
  constructor(group, before = []) {
    this.group = group;
    this.before = before;
  }

  /**
   * The tags that there are now: `{at, sign, node, words, below, mayGo}`. Words get a plate that makes room for those
   * before it; `node()` makes the rest, all of which `sign` tells.
   */
  fill(tags) {
    const sign = ({ classes, words, below, sign: of }) => [classes, words, below, of].join('|');
    const make = (tag) => svg('g', { class: tag.classes ?? '' }, tag.node?.(), plate(tag));
    const roots = refill(this.group, tags, sign, make);
    this.#tags = tags.map((tag, i) => ({ ...tag, root: roots[i] }));
    this.place();
  }

  /** Places them anew after the view changed. */
  place() {
    this.#taken = [];
    const others = this.before.flatMap((tags) => tags.#taken);
    for (const tag of this.#tags) {
      const [x, y] = toScreen(tag.at);
      set(tag.root, 'transform', `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      if (!tag.words) continue;
      const down = room(this.#taken, others, [x, y], tag);
      const plate = tag.root.lastElementChild;
      set(plate, 'visibility', down === null ? 'hidden' : 'inherit');
      set(plate, 'transform', `translate(0 ${down ?? 0})`);
    }
  }
}

function plate({ words, below = 14 }) {
  if (!words) return null;
  const half = halfOf(words);
  const box = svg('rect', { x: -half, y: below - 8, width: 2 * half, height: LINE_PX, rx: 2, class: 'plate' });
  return svg('g', { class: 'words' }, box, svg('text', { y: below + 3.5, text: words }));
}

// How far down words must go so that they cover no others; `null` where those that may go have no room near.
function room(own, others, [x, y], { words, below = 14, mayGo, classes = '' }) {
  const half = halfOf(words);
  let down = 0;
  const hits = (other) =>
    Math.abs(other.x - x) < other.half + half && Math.abs(other.y - (y + below + down)) < LINE_PX;
  const covers = () => own.some(hits) || others.some(hits);
  for (let tries = 0; tries < (mayGo ? 2 : 6) && covers(); tries += 1) down += LINE_PX;
  if (mayGo && covers() && !classes.includes('chosen')) return null;
  own.push({ x, y: y + below + down, half });
  return down;
}

/** The sign of a person or a finding, `size` pixels wide, with a dark keyline below it. */
export function badge(name, size) {
  const scale = size / 16;
  const attributes = { d: shape(name), 'fill-rule': 'evenodd', transform: `scale(${scale}) translate(-8 -8)` };
  return svg('g', { class: `badge ${name}` },
    svg('path', { ...attributes, class: 'key' }), svg('path', { ...attributes, class: 'face' }));
}
