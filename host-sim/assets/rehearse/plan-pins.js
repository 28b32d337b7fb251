// Pins on the plan: findings that have a place, rings of who points, remarks, and the ghost of what is being moved.

import { put, svg } from './dom.js';
import { Tags, badge, loops, path } from './draw.js';
import { list, pick, picked, unwanted } from './findings-list.js';
import { on } from './live.js';
import { soon } from './sparing.js';
import { markPath } from './mark-shape.js';
import { look } from './look.js';
import { cueIndex, stage, thing } from './stage.js';
import { place } from './words.js';
import { toScreen } from './view.js';

const RING_MS = 3000;
const REMARK_MS = 30_000;
const NEAR_PX = 11;

let pins = [];
let rings = [];

// Findings of this cue at one place share a pin; the gravest gives its sign.
function gather() {
  const { cue } = look();
  const isHere = (one) => one.cue === null || cueIndex(one.cue) === cue;
  const here = list().filter((one) => one.place_m && !unwanted.has(one.severity) && isHere(one));
  const at = new Map();
  for (const one of here) {
    const key = one.place_m.map((m) => m.toFixed(2)).join();
    at.set(key, [...(at.get(key) ?? []), one]);
  }
  pins = [...at.values()].map((findings) => ({ at: findings[0].place_m, findings }));
}

function pinTag({ at, findings }) {
  const isPicked = findings.includes(picked());
  const [{ severity }, many] = [findings[0], findings.length];
  const head = () => svg('g', { transform: 'translate(0 -28)' },
    svg('path', { d: 'M0 20L-5 8H5z', class: 'stem' }), badge(severity, isPicked ? 20 : 16),
    many > 1 && svg('text', { x: 11, y: -3, class: 'many', text: many }));
  return { at, sign: `${severity} ${many}`, node: head, classes: `pin${isPicked ? ' picked' : ''}` };
}

/** The pin under a pointer; picking it again goes to the next finding there. */
export function pinAt([x, y]) {
  const near = ({ at }) => {
    const [px, py] = toScreen(at);
    return Math.hypot(px - x, py - 28 - y) < NEAR_PX;
  };
  const pin = pins.find(near);
  if (!pin || document.getElementById('plan').classList.contains('no-pins')) return null;
  const next = pin.findings[(pin.findings.indexOf(picked()) + 1) % pin.findings.length];
  return { kind: 'pin', pick: () => pick(next) };
}

function ring({ at, words, kind }) {
  const node = () => svg('circle', { r: 15, class: kind });
  return { at, sign: at.join(), node, words, below: kind === 'ring' ? 30 : -18, classes: `said said-${kind}` };
}

function ghostOf({ kind, name, by, to }) {
  if (kind === 'mark') return path(markPath({ ...thing(kind, name), at: to }), 'ghost');
  const prop = kind === 'prop' && stage.moment?.props.find((one) => one.name === name);
  if (!prop) return svg('circle', { cx: to[0], cy: to[1], r: 0.25, class: 'ghost' });
  const all = prop.outlines.flatMap((one) => one.loops);
  return svg('g', { transform: `translate(${by[0]} ${by[1]})` }, path(loops(all), 'ghost'));
}

function pass(tags, kind, what, ms) {
  const one = { kind, ...what };
  rings.push(one);
  const show = () => tags.fill(rings.map(ring));
  show();
  setTimeout(() => {
    rings = rings.filter((other) => other !== one);
    show();
  }, ms);
}

/** Begins to draw pins. */
export function beginPins(groups) {
  const [pinTags, saidTags] = [new Tags(groups['pin-tags']), new Tags(groups['said-tags'])];
  const ghostTags = new Tags(groups['ghost-tags']);
  const draw = soon(() => {
    gather();
    pinTags.fill(pins.map(pinTag));
  });
  ['list', 'cue', 'picked', 'stage'].forEach((kind) => on(kind, draw));
  on('point', ({ at, role }) => pass(saidTags, 'ring', { at, words: role }, RING_MS));
  on('remark', ({ at, role, text }) => {
    const words = `${role}: ${text.length > 40 ? `${text.slice(0, 39)}\u2026` : text}`;
    if (at) pass(saidTags, 'remark', { at, words }, REMARK_MS);
  });
  on('ghost', (ghost) => {
    put(groups.ghost, ghost && ghostOf(ghost));
    ghostTags.fill(ghost ? [{ at: ghost.to, words: place(ghost.to), below: -26 }] : []);
  });
  on('view', () => [pinTags, saidTags, ghostTags].forEach((tags) => tags.place()));
}
