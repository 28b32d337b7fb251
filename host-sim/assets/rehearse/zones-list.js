// In-shot zones in words: what bounds every side, for who does not see the plan, and for who asks why.

import { byId, el, put } from './dom.js';
import { on } from './live.js';
import { whoOf } from './plan-moment.js';
import { sign } from './signs.js';
import { plain } from './words.js';

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

/** Begins to list. */
export function beginZones() {
  on('zones', (all) => {
    const zones = all?.zones ?? [];
    put(byId('zone-list'), zones.map(row));
    byId('zone-none').hidden = zones.length > 0;
  });
}
