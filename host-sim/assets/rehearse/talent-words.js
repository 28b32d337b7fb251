// One sentence for somebody who has no rehearsal, and the same without words.

import { svg } from './dom.js';
import { shape } from './signs.js';
import { cueName, length, seconds } from './words.js';

const WALKER = 'M8 1a1.8 1.8 0 1 1 0 3.6a1.8 1.8 0 1 1 0-3.6z '
  + 'M7 5.2h2.4l3 2.6-.9 1.2-2.3-1.7v2.2l2.3 5-1.6.8-2.6-4.6-2.3 4.6-1.6-.8L6.2 9V7.4L4.4 9l-1-1.1z';
const CHAIR = 'M7 1a1.7 1.7 0 1 1 0 3.4a1.7 1.7 0 1 1 0-3.4z '
  + 'M6 5h2.2v3.4h3.4l1.4 4.4-1.4.4-1.2-3.2H6z M7.5 9.6a3.2 3.2 0 1 1-2.7-1.9v1.5a1.8 1.8 0 1 0 1.4 2.2z';

/** "amber square" */
export function whoWords(who) {
  return (who ?? '').replace('-', ' ');
}

/** Where somebody is to be in a cue; `null` when not called. */
export function placeIn(show, cue, name) {
  return show?.cues[cue]?.places.find(({ person }) => person === name) ?? null;
}

const lineOf = (show, place) => show?.lines.find(({ name }) => name === place?.line);

/** What to do in a cue, in one sentence. */
export function sentence(show, cue, person) {
  const place = placeIn(show, cue, person.name);
  if (!place) return laterWords(show, cue, person);
  const sign = `the ${whoWords(person.who)}`;
  const along = lineOf(show, place)?.dots === 'chevrons' ? 'arrows' : 'dots';
  if (place.line) return `${person.seated ? 'Go' : 'Walk'} along the ${along} to ${sign}${place.mark ? ` at ${place.mark}` : ''}.`;
  return place.mark ? `Be on ${sign} at ${place.mark}.` : 'You have no mark in this cue.';
}

function laterWords(show, cue, person) {
  const next = (show?.cues ?? []).findIndex((_, index) => index > (cue ?? -1) && placeIn(show, index, person.name));
  const wait = 'You are not called now.';
  return next < 0 ? `${wait} Nothing more comes for you.` : `${wait} Next: cue ${cueName(show.cues[next])}.`;
}

/** Line, length and seconds of the way; empty without one. */
export function figures(show, cue, person) {
  const line = lineOf(show, placeIn(show, cue, person.name));
  if (!line) return '';
  const time = line.time_s ? `, about ${seconds(line.time_s)} until you stand` : '';
  return `Line ${line.name}: ${length(line.length_m)}${time}.`;
}

/** Somebody, dots, and the sign to go to: the sentence for who does not read it. */
export function icons(show, cue, person) {
  const place = placeIn(show, cue, person.name);
  const at = (x, d, classes) => svg('path', { d, class: classes, 'fill-rule': 'evenodd', transform: `translate(${x} 0)` });
  const body = at(0, person.seated ? CHAIR : WALKER, 'somebody');
  const sign = at(place?.line ? 52 : 20, shape(person.who), `face ${person.who}`);
  const step = lineOf(show, place)?.dots === 'chevrons' ? 'M-2 9.5L.5 12L-2 14.5H0L2.5 12L0 9.5z' : 'M-1.7 12a1.7 1.7 0 1 1 3.4 0a1.7 1.7 0 1 1 -3.4 0z';
  const dots = [22, 29, 36, 43].map((x) => at(x, step, `step face ${person.who}`));
  const wide = place?.line ? 68 : 36;
  const parts = place ? [body, ...(place.line ? dots : []), sign] : [body, svg('path', { d: 'M20 7h3v2h-3z M26 7h3v2h-3z M32 7h3v2h-3z', class: 'somebody' })];
  return svg('svg', { viewBox: `0 0 ${wide} 16`, class: 'icon-row' }, parts);
}
