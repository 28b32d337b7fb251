// Signs: a shape beside every word, so that nothing is told by colour alone.

import { svg } from './dom.js';

// Each in a box of 16 by 16. Who: the four shapes of the floor. How much it matters: filled, half, open.
const SHAPES = {
  'white-circle': 'M8 1.5a6.5 6.5 0 1 1 0 13a6.5 6.5 0 1 1 0-13z',
  'amber-square': 'M2.5 2.5h11v11h-11z',
  'cyan-triangle': 'M8 1.5L15 14H1z',
  'magenta-diamond': 'M8 .8L15.2 8 8 15.2.8 8z',
  stop: 'M5 1h6l4 4v6l-4 4H5l-4-4V5z M4 7v2h8V7z',
  fix: 'M1 2h14v7l-7 6-7-6z M3 4v4.1l5 4.3 5-4.3V4z M7 4.8v3.6h2V4.8z M7 9v1.6h2V9z',
  note: 'M2 3h12v1.5H2z M2 7.2h12v1.5H2z M2 11.5h8V13H2z',
  flaw: 'M1 1h14v14H1z M7 3.5v6h2v-6z M7 11v2h2v-2z',
  plain: 'M1.8 8.6l1.3-1.4 3.4 3.3 6.5-7 1.4 1.3-7.8 8.4z',
  on: 'M8 3a5 5 0 1 1 0 10A5 5 0 1 1 8 3z',
  play: 'M4 2l10 6-10 6z',
  pause: 'M3.5 2h3v12h-3z M9.5 2h3v12h-3z',
};

/** The outline of a sign in a box of 16 by 16. */
export function shape(name) {
  return SHAPES[name] ?? SHAPES.on;
}

/** A sign; words beside it say the same, so that a reader skips it. */
export function sign(name, classes = '') {
  const path = svg('path', { d: shape(name), 'fill-rule': 'evenodd' });
  return svg('svg', { viewBox: '0 0 16 16', class: `sign ${name} ${classes}`.trim(), 'aria-hidden': 'true' }, path);
}
