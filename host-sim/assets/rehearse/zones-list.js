// The plan in words, for who does not see it, and for who asks why: where people are, what bounds every side of a zone.

import { become, byId, el } from './dom.js';
import { on } from './live.js';
import { whoOf } from './plan-moment.js';
import { sign } from './signs.js';
import { refill, soon } from './sparing.js';
import { people as everybody, stage } from './stage.js';
import { place, plain } from './words.js';

function sides({ loops }) {
  return [...new Set(loops.flatMap((loop) => loop.sides))];
}

function told(zone) {
  const area = zone.empty ? 'empty: no place works' : `${plain(zone.area_m2, 1)} m\u00b2`;
  return { who: whoOf(zone.person), head: `${zone.person} at ${zone.mark}`, area, words: zone.words, sides: sides(zone) };
}

function row({ who, head, area, words, sides: all }) {
  return el('li', {},
    el('div', {}, sign(who, 'on-plan'), el('b', { text: ` ${head}: ` }), area),
    words && el('div', { class: 'quiet', text: words }),
    el('ul', {}, all.map((text) => el('li', { text }))));
}

const ON = { mark: 'on mark', line: 'on the way to', off: 'off the floor, last at', moved: 'moved from' };

function whereabouts({ name, at, on: where, mark }) {
  return { who: whoOf(name), name, words: `${ON[where] ?? 'near'} ${mark ?? 'nowhere'}: ${place(at)}` };
}

function person({ who, name, words }) {
  return el('li', {}, sign(who, 'on-plan'), el('b', { text: ` ${name} ` }), words);
}

// Once it has come to rest: nobody reads a place ten times a second.
let waits = null;

function people() {
  clearTimeout(waits);
  waits = setTimeout(() => refill(byId('people-words'), everybody().map(whereabouts), JSON.stringify, person), 250);
}

/** Begins to list. */
export function beginZones() {
  on('moment', people);
  on('zones', soon(() => {
    const zones = stage.zones?.zones ?? [];
    refill(byId('zone-list'), zones.map(told), JSON.stringify, row);
    become(byId('zone-none'), 'hidden', zones.length > 0);
  }));
}
