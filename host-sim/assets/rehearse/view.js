// Which piece of the stage the plan shows. Upstage is at the top, stage left at the right.

import { tell } from './live.js';

const LEAST = 4;
const MOST = 4000;
/** Room for buttons above, and for the ruler and the sides' names around: pixels. */
const [ABOVE_PX, BELOW_PX, ASIDE_PX] = [62, 40, 44];
/** Below this width the plan has two rows of buttons. */
const [NARROW_PX, ROW_PX] = [560, 54];

/** Pixels a metre, the stage place in the middle, and the size of the plan in pixels. */
export const view = { scale: 100, x: 0, y: 0, wide: 600, high: 400, fitted: 'floor' };

/** Stage metres to pixels of the plan. */
export function toScreen([x, y]) {
  return [(x - view.x) * view.scale + view.wide / 2, (view.y - y) * view.scale + view.high / 2];
}

/** Pixels of the plan to stage metres. */
export function toStage([px, py]) {
  return [(px - view.wide / 2) / view.scale + view.x, view.y - (py - view.high / 2) / view.scale];
}

/** The same as a matrix for SVG and canvas. */
export function matrix() {
  const { scale, x, y, wide, high } = view;
  return [scale, 0, 0, -scale, wide / 2 - x * scale, high / 2 + y * scale];
}

/** Shows all of [least x, least y, most x, most y]; `name` is remembered, so that it fits again when the plan grows. */
export function fit([x0, y0, x1, y1], name) {
  const above = ABOVE_PX + (view.wide < NARROW_PX ? ROW_PX : 0);
  const [wide, high] = [view.wide - 2 * ASIDE_PX, view.high - above - BELOW_PX];
  view.scale = bound(Math.min(wide / (x1 - x0), high / (y1 - y0)));
  const up = (above - BELOW_PX) / 2 / view.scale;
  [view.x, view.y, view.fitted] = [(x0 + x1) / 2, (y0 + y1) / 2 + up, name];
  tell('view', view);
}

/** Zooms about a place of the plan that stays where it is. */
export function zoom(factor, at = [view.wide / 2, view.high / 2]) {
  const before = toStage(at);
  view.scale = bound(view.scale * factor);
  const after = toStage(at);
  move(before[0] - after[0], before[1] - after[1]);
}

/** Moves the view by stage metres. */
export function move(dx, dy) {
  [view.x, view.y, view.fitted] = [view.x + dx, view.y + dy, null];
  tell('view', view);
}

/** Brings a place to the middle. */
export function centre([x, y]) {
  [view.x, view.y, view.fitted] = [x, y, null];
  tell('view', view);
}

/** The plan has another size now. */
export function resize(wide, high) {
  [view.wide, view.high] = [Math.max(wide, 1), Math.max(high, 1)];
  tell('view', view);
}

function bound(scale) {
  return Math.min(Math.max(scale, LEAST), MOST);
}
