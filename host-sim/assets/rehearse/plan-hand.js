// The hand on the plan: choose, drag, pan, pinch, point.

import { ask, drives, tell, whyNot } from './live.js';
import { choose, chosen, placeOf } from './chosen.js';
import { moveBy, saidAt } from './edits.js';
import { thingAt } from './hit.js';
import { pinAt } from './plan-pins.js';
import { say, tried } from './say.js';
import { move, toStage, view, zoom } from './view.js';

const SLACK_PX = 4;
const LONG_MS = 600;

const fingers = new Map();
let grip = null;
let pressed = null;
let under = null;

/** Points at a place: everybody sees a ring there. */
export function point(at = under ?? placeOf(chosen) ?? [view.x, view.y]) {
  tried(saidAt(), ask('point', { at: at.map((m) => Number(m.toFixed(3))) }));
}

function pixel(plan, event) {
  const box = plan.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function down(plan, event) {
  if (event.button > 0 || event.target.closest('button, a, .float')) return;
  const at = pixel(plan, event);
  plan.setPointerCapture(event.pointerId);
  fingers.set(event.pointerId, at);
  if (fingers.size > 1) return release();
  const hit = pinAt(at) ?? thingAt(at);
  // A finger that pans must not carry things away: on a touch screen a thing is chosen first.
  const firm = event.pointerType !== 'touch' || (hit?.kind === chosen.kind && hit?.name === chosen.name);
  grip = { from: at, last: at, hit, firm, moved: false };
  pressed = setTimeout(() => {
    point(toStage(at));
    grip = null;
  }, LONG_MS);
}

function release() {
  clearTimeout(pressed);
  grip = null;
  tell('ghost', null);
}

function drag(plan, event) {
  const at = pixel(plan, event);
  under = toStage(at);
  if (fingers.size > 1) return pinch(event.pointerId, at);
  if (!grip) return undefined;
  if (!grip.moved && Math.hypot(at[0] - grip.from[0], at[1] - grip.from[1]) < SLACK_PX) return undefined;
  clearTimeout(pressed);
  if (!grip.moved) begin();
  grip.moved = true;
  if (grip.carries) carry(at);
  else move((grip.last[0] - at[0]) / view.scale, (at[1] - grip.last[1]) / view.scale);
  grip.last = at;
  return undefined;
}

// What is held is carried; without the right to drive the plan moves instead.
function begin() {
  if (!grip.firm || !grip.hit?.kind || grip.hit.kind === 'pin') return;
  choose(grip.hit.kind, grip.hit.name);
  if (drives()) grip.carries = { ...grip.hit, start: placeOf(grip.hit) };
  else say(saidAt(), `Not moved: ${whyNot()}`, 'refused');
}

function carry(at) {
  const [a, b] = [toStage(grip.from), toStage(at)];
  grip.by = [b[0] - a[0], b[1] - a[1]];
  const { kind, name, start } = grip.carries;
  if (start) tell('ghost', { kind, name, by: grip.by, to: [start[0] + grip.by[0], start[1] + grip.by[1]] });
}

function pinch(id, at) {
  const [[other, fixed]] = [...fingers].filter(([finger]) => finger !== id);
  const before = fingers.get(id);
  fingers.set(id, at);
  if (other === undefined || !before) return;
  const spread = (p) => Math.hypot(p[0] - fixed[0], p[1] - fixed[1]);
  move((before[0] - at[0]) / view.scale / 2, (at[1] - before[1]) / view.scale / 2);
  if (spread(before) > 8) zoom(spread(at) / spread(before), fixed);
}

function up(event) {
  clearTimeout(pressed);
  fingers.delete(event.pointerId);
  const { hit, moved, carries, by } = grip ?? {};
  if (!grip) return;
  grip = null;
  if (carries && by) moveBy(carries, by);
  else if (!moved && hit?.kind === 'pin') hit.pick();
  else if (!moved) choose(hit?.kind, hit?.name);
}

/** Begins to feel. */
export function beginHand(plan) {
  plan.addEventListener('pointerdown', (event) => down(plan, event));
  plan.addEventListener('pointermove', (event) => drag(plan, event));
  plan.addEventListener('pointerup', up);
  plan.addEventListener('pointercancel', (event) => {
    fingers.delete(event.pointerId);
    release();
  });
  plan.addEventListener('pointerleave', () => {
    under = null;
  });
  plan.addEventListener('contextmenu', (event) => fingers.size && event.preventDefault());
  plan.addEventListener('wheel', (event) => {
    event.preventDefault();
    zoom(Math.exp(-event.deltaY / 400), pixel(plan, event));
  }, { passive: false });
}

/** Lets go of whatever is carried; true when there was something. */
export function letGo() {
  const had = grip !== null;
  release();
  return had;
}
