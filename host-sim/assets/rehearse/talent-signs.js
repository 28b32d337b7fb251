// Marks as they lie on the floor, for who is to read them: form says the state, colour and shape say whose.

import { svg } from './dom.js';

/** The shape round a mark in a field of 100, its path begun on the right; with the number of its sides. */
const SHAPES = {
  'white-circle': ['M44 0A44 44 0 0 1 -44 0A44 44 0 0 1 44 0Z', 4],
  'amber-square': ['M40 0V40H-40V-40H40V0Z', 4],
  'cyan-triangle': ['M23 0L46 40H-46L0 -40L23 0Z', 3],
  'magenta-diamond': ['M36 0L0 54L-36 0L0 -54L36 0Z', 4],
};
/** The toe bar, ahead of the feet, and the stem between them. */
const TEE = 'M-14 -6H14 M0 -6V18';
const HOLLOW = 'M-15 -10H15V-3H3V20H-3V-3H-15Z';
/** The path from the first corner on, so that every side is a whole one. */
const SIDES = {
  'amber-square': 'M40 -40V40H-40V-40Z', 'cyan-triangle': 'M0 -40L46 40H-46Z', 'magenta-diamond': 'M0 -54L36 0L0 54L-36 0Z',
};
const CHEVRONS = 'M-7 52L0 45L7 52 M-7 40L0 33L7 40';

/** What a mark can say: state, sign for who does not read, words. */
export const STATES = [
  ['stand by', 'Wait. It will be you.'], ['go', 'Walk now, with the dots.'], ['arrived', 'You are there. Stay.'],
  ['off the mark', 'Move to where it is open.'], ['later', 'Not yet: the next cue.'], ['steady', 'This is your place.'],
];

// Openings in the middle of each side, or at ahead, left, back and right of a ring.
function opened(who) {
  const sides = SHAPES[who][1];
  if (who === 'white-circle') return svg('path', { d: SHAPES[who][0], pathLength: 400, 'stroke-dasharray': '0 18 64 18' });
  return svg('path', { d: SIDES[who], pathLength: sides * 100, 'stroke-dasharray': '32 36 32 0' });
}

function outline(who, state) {
  const d = SHAPES[who][0];
  if (state === 'stand by' || state === 'go') return opened(who);
  // A quarter of it is open, here on the right.
  if (state === 'off the mark') return svg('path', { d, pathLength: 100, 'stroke-dasharray': '0 12.5 75 12.5' });
  return svg('path', { d, class: state === 'later' ? 'thin' : null });
}

/** A mark of `who` in a state, in a box of 120 by 120 around its middle. */
export function markOf(who, state) {
  const known = SHAPES[who] ? who : 'white-circle';
  const parts = [outline(known, state), svg('path', { d: state === 'later' ? HOLLOW : TEE, class: state === 'later' ? 'thin' : 'tee' })];
  if (state === 'go') parts.push(svg('path', { d: CHEVRONS, class: 'flow' }));
  if (state === 'off the mark') parts.push(svg('path', { d: 'M48 0H58 M54 -5L59 0L54 5', class: 'thin toward' }));
  return svg('g', { class: `floor-mark ${known}${state === 'arrived' ? ' dim' : ''}` }, parts);
}

/** The same as a picture of its own. */
export function markPicture(who, state) {
  return svg('svg', { viewBox: '-62 -62 124 124', class: 'mark-picture', 'aria-hidden': 'true', 'data-state': state }, markOf(who, state));
}
