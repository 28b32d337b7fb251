// The plan: floor pixels on a canvas, everything else as lines above it.

import { byId, put, svg } from './dom.js';
import { beginFloor } from './plan-floor.js';
import { beginHand } from './plan-hand.js';
import { beginMoment } from './plan-moment.js';
import { beginPins } from './plan-pins.js';
import { beginRoom } from './plan-room.js';
import { chosen, placeOf } from './chosen.js';
import { on } from './live.js';
import { stage } from './stage.js';
import { fit, matrix, resize, toScreen, view, zoom } from './view.js';

// From below to above.
const WORLD = ['grid', 'room', 'wedges', 'keepouts', 'zones', 'lines', 'props', 'marks', 'cameras', 'ghost'];
const TAGS = ['grid', 'prop', 'mark', 'camera', 'people', 'pin', 'said', 'ghost'].map((name) => `${name}-tags`);

/** Groups of the plan by name. */
export const groups = {};

function group(name) {
  groups[name] = svg('g', { class: `g-${name}` });
  return groups[name];
}

/** Least and most x and y of what a fit shows. */
export function extent(name) {
  const { floor, extent: all } = stage.show;
  if (name === 'all') return all;
  const [xs, ys] = [floor.outline.map((p) => p[0]), floor.outline.map((p) => p[1])];
  return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
}

/** Fits the floor, or everything. */
export function fitTo(name) {
  if (stage.show) fit(extent(name), name);
}

function follow(world) {
  let shown = null;
  on('view', () => world.setAttribute('transform', `matrix(${matrix().join(' ')})`));
  on('stage', ({ title }) => {
    if (shown !== title) fitTo('floor');
    shown = title;
  });
}

// What is chosen by keys or from the list comes into view.
function bringIntoView() {
  const at = chosen.kind && placeOf(chosen);
  if (!at) return;
  const [x, y] = toScreen(at);
  if (x < 0 || y < 0 || x > view.wide || y > view.high) fitTo('all');
}

function buttons() {
  byId('zoom-in').addEventListener('click', () => zoom(1.3));
  byId('zoom-out').addEventListener('click', () => zoom(1 / 1.3));
  byId('fit-floor').addEventListener('click', () => fitTo('floor'));
  byId('fit-all').addEventListener('click', () => fitTo('all'));
}

/** Builds the plan. */
export function beginPlan() {
  const plan = byId('plan');
  const world = svg('g', { class: 'world' }, WORLD.map(group));
  put(byId('plan-lines'), world, TAGS.map(group));
  follow(world);
  buttons();
  beginFloor(byId('plan-floor'));
  beginRoom(groups);
  beginMoment(groups);
  beginPins(groups);
  beginHand(plan);
  on('chosen', bringIntoView);
  new ResizeObserver(() => {
    const { fitted } = view;
    resize(plan.clientWidth, plan.clientHeight);
    if (fitted) fitTo(fitted);
  }).observe(plan);
}
