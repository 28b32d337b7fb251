// The plan in words, for who does not see it, and for who asks why: where people are, what bounds every side of a zone.

import { byId, el, put } from './dom.js';
import { on } from './live.js';
import { whoOf } from './plan-moment.js';
import { sign } from './signs.js';
import { people as everybody } from './stage.js';
import { place, plain } from './words.js';

function sides({ loops }) {
  return [...new Set(loops.flatMap((loop) => loop.sides))];
}

function row(zone) {
  const area = zone.empty ? 'empty: no place works' : `${plain(zone.area_m2, 1)} m\u00b2`;
  return el('li', {},
    el('div', {}, sign(whoOf(zone.person), 'on-plan'), el('b', { text: ` ${zone.person} at ${zone.mark}: ` }), area),
    zone.words && el('div', { class: 'quiet', text: zone.words }),
    el('ul', {}, sides(zone).map((words) => el('li', { text: words }))));
}

const ON = { mark: 'on mark', line: 'on the way to', off: 'off the floor, last at', moved: 'moved from' };

function person({ name, at, on: where, mark }) {
  return el('li', {}, sign(whoOf(name), 'on-plan'), el('b', { text: ` ${name} ` }),
    `${ON[where] ?? 'near'} ${mark ?? 'nowhere'}: ${place(at)}`);
}

// Once it has come to rest: nobody reads a place ten times a second.
let waits = null;

function people() {
  clearTimeout(waits);
  waits = setTimeout(() => put(byId('people-words'), everybody().map(person)), 250);
}

/** Begins to list. */
export function beginZones() {
  on('moment', people);
  on('zones', (all) => {
    const zones = all?.zones ?? [];
    put(byId('zone-list'), zones.map(row));
    byId('zone-none').hidden = zones.length > 0;
  });
}
