// What lies under a pointer on the plan.

import { people, stage } from './stage.js';
import { isShown } from './layers.js';
import { toScreen, toStage } from './view.js';

const NEAR_PX = 14;

function nearest(kind, things, at) {
  const [x, y] = at;
  let best = null;
  for (const { name, at: place } of things ?? []) {
    if (!place) continue;
    const [px, py] = toScreen(place);
    const far = Math.hypot(px - x, py - y);
    if (far < (best?.far ?? NEAR_PX)) best = { kind, name, far };
  }
  return best;
}

/** True when a place lies within a loop: a ray to the right crosses it an odd number of times. */
export function isInside([x, y], loop) {
  let inside = false;
  loop.forEach(([x1, y1], i) => {
    const [x2, y2] = loop[(i + 1) % loop.length];
    if (y1 > y !== y2 > y && x < x1 + ((y - y1) / (y2 - y1)) * (x2 - x1)) inside = !inside;
  });
  return inside;
}

function prop(at) {
  const place = toStage(at);
  const shown = (stage.moment?.props ?? []).filter(({ life }) => life !== 'gone');
  const under = shown.find(({ outlines }) => outlines.some((one) => one.loops.some((loop) => isInside(place, loop))));
  return under ? { kind: 'prop', name: under.name } : null;
}

/** The thing under a pointer: the small ones first, for the large ones can be had beside them. */
export function thingAt(at) {
  const layer = (name, find) => (isShown(name) ? find() : null);
  return layer('people', () => nearest('person', people(), at))
    ?? layer('marks', () => nearest('mark', stage.show?.marks, at))
    ?? layer('cameras', () => nearest('camera', stage.show?.cameras, at))
    ?? layer('props', () => prop(at));
}
