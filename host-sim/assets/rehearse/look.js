// Which moment is looked at: the driver's for everybody, or one's own for who only looks.

import { boxCue, boxNext, boxRuns, boxSeconds } from './box-now.js';
import { ask, drives, on, tell, told } from './live.js';
import { ofCue } from './findings-list.js';
import { Newest } from './newest.js';
import { onChange } from './sparing.js';
import { stage } from './stage.js';

const TICK_MS = 80;
const ROUND_S = 10;
const BEFORE = { live: true, cue: null, t_s: 0, playing: false, speed: 1, mode: null };

let own = null;
let sent = null;
let timer = null;

const tellNow = onChange((now) => tell('now', now));

const sending = new Newest((look) => ask('look', look).catch(() => (sent = null)));

/** The moment: cue index or `null`, seconds, whether it follows the box, runs, and is one's own. */
export function look() {
  const base = { ...BEFORE, ...(own ?? sent ?? told.look) };
  const { live, playing, speed, mode } = base;
  // A dark box is shown with the cue that it waits for.
  const cue = live ? (boxCue() ?? boxNext()) : base.cue;
  const t = Math.min(live ? boxSeconds() : base.t_s + ran(base), whole(cue));
  return { live, cue, t_s: t, playing, speed, mode, own: own !== null };
}

/** Seconds until everybody and everything of a cue has arrived. */
export function lasts(cue) {
  return stage.show?.cues[cue]?.lasts_s ?? 0;
}

/** Seconds of a cue that can be looked at: what goes round for ever is worth a while, and so is every finding. */
export function whole(cue) {
  const { number, props = [] } = stage.show?.cues[cue] ?? {};
  const moments = ofCue(number).map((one) => one.moment_s ?? 0);
  return Math.max(lasts(cue), props.some(({ motion }) => motion) ? ROUND_S : 0, ...moments);
}

function ran(base) {
  return base.playing ? ((performance.now() - base.heard) / 1000) * base.speed : 0;
}

/** Changes the moment: for everybody when this browser drives, else for this one alone. */
export function lookAt(change) {
  const { live, cue, t_s, playing, speed, mode } = { ...look(), live: false, ...change };
  const now = { live, cue, t_s: Math.max(0, Number(t_s.toFixed(3))), playing, speed, mode };
  if (drives()) {
    own = null;
    sent = { ...now, heard: performance.now() };
    sending.wish(now);
  } else {
    own = { ...now, heard: performance.now() };
  }
  changed();
}

/** Goes to a cue: as it stands at its end, or at a moment of it. */
export function goTo(cue, t_s = lasts(cue)) {
  lookAt({ cue, t_s, playing: false });
}

/** Plays on, from the start when it is at the end; or stops. */
export function play() {
  const now = look();
  const over = now.t_s >= whole(now.cue) - 0.05;
  lookAt({ playing: !now.playing, t_s: !now.playing && over ? 0 : now.t_s });
}

/** Goes along with the simulated box, or with the driver. */
export function follow() {
  if (drives()) return lookAt({ live: true, playing: false });
  own = null;
  changed();
}

// What is told is another moment than the last: nobody works because time stands still.
function changed() {
  const now = look();
  clearTimeout(timer);
  const end = whole(now.cue);
  const runs = now.live ? boxRuns() : now.playing;
  if (runs && now.t_s < end) timer = setTimeout(changed, TICK_MS);
  else if (runs && !now.live && (own || drives())) return lookAt({ playing: false, t_s: end });
  tellNow(now);
}

/** Begins to listen. */
export function beginLook() {
  on('look', () => {
    sent = null;
    changed();
  });
  on('box', () => look().live && changed());
  on('house', () => {
    if (own && drives()) own = null;
    changed();
  });
  ['stage', 'list'].forEach((kind) => on(kind, changed));
}
