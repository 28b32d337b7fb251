// Signs for who cannot tell them yet: beside the words in the help.

import { el, put, byId, svg } from './dom.js';
import { sign } from './signs.js';

const WHO = [
  ['white-circle', 'white circle'], ['amber-square', 'amber square'], ['cyan-triangle', 'cyan triangle'],
  ['magenta-diamond', 'magenta diamond'],
];
const GRAVE = [
  ['stop', 'STOP: do not go on like this'], ['fix', 'FIX: put it right before the day'], ['note', 'NOTE: good to know'],
  ['flaw', 'in a picture: painted over, hidden or off the wall'],
];
const LINES = [
  ['prop contact', 'prop, contact: below 0.2 m'], ['prop body', 'prop, body: 0.2 to 2.3 m'],
  ['prop overhead', 'prop, overhead: no keep-out'], ['keep-out', 'keep-out'], ['walk white-circle', 'walk line'],
  ['zone white-circle', 'in-shot zone: of the picture, of nothing else'], ['wedge', 'camera wedge: crew keep out'],
];

function swatch(classes) {
  return svg('svg', { viewBox: '0 0 40 12', class: 'swatch', 'aria-hidden': 'true' },
    svg('path', { d: 'M2 6H38', class: classes }));
}

const rows = (all, draw) => all.map(([name, words]) => el('li', {}, draw(name), el('span', { text: words })));

/** Fills the legend. */
export function beginLegend() {
  put(byId('legend-who'), rows(WHO, (name) => sign(name, 'on-plan')));
  put(byId('legend-grave'), rows(GRAVE, (name) => sign(name)));
  put(byId('legend-lines'), rows(LINES, swatch));
}
