// What is where: the show as it is tried, and everything that belongs to the moment that is looked at.

import { on, tell } from './live.js';
import { Newest, json } from './newest.js';
import { nameAs } from './words.js';

/** What the server said last; `moment`, `zones` and `wedges` are of the cue that is looked at. */
export const stage = { show: null, moment: null, zones: null, wedges: null };

let now = null;
let standing = '[]';
let stood = 0;

const shows = new Newest(async (revision) => {
  const show = await json(`/api/show?rev=${revision}`);
  if (!show) return;
  stage.show = show;
  nameAs(show.naming ?? {});
  tell('stage', show);
});

const part = (name, address) =>
  new Newest(async (wish) => {
    stage[name] = wish ? await json(address(wish)) : null;
    tell(name, stage[name]);
  });

const moments = part('moment', ({ cue, t, rev, stood: n }) => `/api/moment?cue=${cue}&t=${t}&rev=${rev}.${n}`);
const zones = part('zones', ({ cue, rev }) => `/api/zones?cue=${cue}&rev=${rev}`);
const wedges = part('wedges', ({ cue, rev }) => `/api/wedges?cue=${cue}&rev=${rev}`);

/** The cue that is looked at; `null` before the first one. */
export function cueNow() {
  return stage.show?.cues[now?.cue] ?? null;
}

/** Number of a cue that has this number on paper; -1 for none. */
export function cueIndex(number) {
  return stage.show?.cues.findIndex((cue) => cue.number === String(number)) ?? -1;
}

/** A person, prop, mark or camera of the show by its kind and name. */
export function thing(kind, name) {
  const lists = { prop: 'props', mark: 'marks', camera: 'cameras', person: 'people' };
  return stage.show?.[lists[kind]]?.find((one) => one.name === name) ?? null;
}

function wish(which, last) {
  const { cue } = now ?? {};
  const rev = stage.show?.revision;
  if (!stage.show || cue === null || cue === undefined) {
    return [moments, zones, wedges].forEach((one) => one.wish(null));
  }
  moments.wish({ cue, t: now.t_s.toFixed(2), rev, stood });
  if (which === 'moment' && last === cue) return undefined;
  zones.wish({ cue, rev });
  return wedges.wish({ cue, rev });
}

/** Begins to listen. */
export function beginStage() {
  on('show', ({ revision }) => shows.wish(revision));
  on('now', (look) => {
    const last = now?.cue;
    now = look;
    wish('moment', last);
    if (look.cue !== last) tell('cue', look.cue);
  });
  on('stage', () => wish('all'));
  // Whoever stands elsewhere than planned is where they are: the box has been told.
  on('box', ({ people }) => {
    const all = JSON.stringify(people ?? []);
    if (all === standing) return;
    standing = all;
    stood += 1;
    if (now) wish('moment', now.cue);
  });
}
