// What is where: the show as it is tried, and everything that belongs to the moment that is looked at.

import { on, tell, told } from './live.js';
import { Newest, json } from './newest.js';
import { nameAs } from './words.js';

/** What the server said last; `moment`, `zones` and `wedges` are of the cue that is looked at. */
export const stage = { show: null, moment: null, zones: null, wedges: null };

let now = null;
let standing = '[]';

const shows = new Newest(async (revision) => {
  const show = await json(`/api/show?rev=${revision}`);
  if (!show) return;
  stage.show = show;
  const corner = [0, 1].map((axis) => Math.min(...show.floor.outline.map((point) => point[axis])));
  nameAs({ ...show.naming, corner });
  tell('stage', show);
  // By now it is known which moment of it is looked at.
  wish();
});

// What is the same as last time is not asked for again, until the line was down meanwhile.
function part(name, address) {
  const newest = new Newest(async (at) => {
    stage[name] = at ? await json(at) : null;
    tell(name, stage[name]);
  });
  let last = null;
  on('line', () => (last = null));
  return (wish) => {
    const at = wish ? address(wish) : '';
    if (at !== last) newest.wish(at);
    last = at;
  };
}

const moments = part('moment', ({ cue, t, rev }) => `/api/moment?cue=${cue}&t=${t}&rev=${rev}`);
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

/** Everybody at the moment that is looked at. Whom somebody put elsewhere is there, and `on` says "moved". */
export function people() {
  const moved = new Map((told.box?.people ?? []).filter((one) => one.moved).map((one) => [one.name, one.at]));
  const planned = stage.moment?.people ?? [];
  return planned.map((one) => (moved.has(one.name) ? { ...one, at: moved.get(one.name), on: 'moved' } : one));
}

/** A person, prop, mark or camera of the show by its kind and name. */
export function thing(kind, name) {
  const lists = { prop: 'props', mark: 'marks', camera: 'cameras', person: 'people' };
  return stage.show?.[lists[kind]]?.find((one) => one.name === name) ?? null;
}

function wish() {
  const { cue } = now ?? {};
  const rev = stage.show?.revision;
  if (!stage.show || cue === null || cue === undefined) {
    return [moments, zones, wedges].forEach((part) => part(null));
  }
  moments({ cue, t: now.t_s.toFixed(2), rev });
  zones({ cue, rev });
  return wedges({ cue, rev });
}

/** Begins to listen. */
export function beginStage() {
  on('show', ({ revision }) => shows.wish(revision));
  on('now', (look) => {
    const last = now?.cue;
    now = look;
    wish();
    if (look.cue !== last) tell('cue', look.cue);
  });
  // Whoever stands elsewhere than planned is where they are: the box has been told.
  on('box', ({ people }) => {
    const all = JSON.stringify(people ?? []);
    if (all === standing) return;
    standing = all;
    tell('moment', stage.moment);
  });
}
