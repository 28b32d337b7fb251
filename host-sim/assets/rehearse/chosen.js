// The thing that is chosen: on the plan, in the list, by keys. One at a time.

import { tell } from './live.js';
import { people, stage } from './stage.js';

/** Its kind (prop, mark, camera, person) and name; both `null` for none. */
export const chosen = { kind: null, name: null };

/** Chooses a thing, or none. */
export function choose(kind = null, name = null) {
  if (chosen.kind === kind && chosen.name === name) return;
  [chosen.kind, chosen.name] = [kind, name];
  tell('chosen', chosen);
}

/** Everything that can be chosen, in the order of the list. */
export function all() {
  const { props = [], marks = [], people = [], cameras = [] } = stage.show ?? {};
  const rows = (kind, things) => things.map(({ name }) => ({ kind, name }));
  return [...rows('prop', props), ...rows('mark', marks), ...rows('person', people), ...rows('camera', cameras)];
}

/** Chooses the next or the last thing of the list. */
export function chooseBeside(step) {
  const things = all();
  if (!things.length) return;
  const at = things.findIndex(({ kind, name }) => kind === chosen.kind && name === chosen.name);
  const next = things.at(at < 0 ? Math.min(step, 0) : (at + step) % things.length);
  choose(next.kind, next.name);
}

/** Where a thing is at the moment that is looked at, or where it rests; `null` when it is nowhere. */
export function placeOf({ kind, name }) {
  const { show, moment } = stage;
  const find = (list) => list?.find((one) => one.name === name);
  if (kind === 'prop') return find(moment?.props)?.at ?? find(show?.props)?.at ?? null;
  if (kind === 'mark') return find(show?.marks)?.at ?? null;
  if (kind === 'camera') return find(show?.cameras)?.at?.slice(0, 2) ?? null;
  if (kind === 'person') return find(people())?.at ?? null;
  return null;
}
