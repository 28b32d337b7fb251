// Time of the cue that is looked at: scrub, step, play, and the mode in which the floor is painted.

import { become, byId, el, put, set, write } from './dom.js';
import { boxCue } from './box-now.js';
import { edit, saidAt } from './edits.js';
import { ask, drives, on, told } from './live.js';
import { follow, look, lookAt, play, whole } from './look.js';
import { sign } from './signs.js';
import { say, tried } from './say.js';
import { onChange, soon } from './sparing.js';
import { cueNow } from './stage.js';
import { number } from './thing.js';
import { cueName, plain, seconds } from './words.js';

const STEP_S = 0.1;
const MODES = ['build', 'brief', 'standby', 'air', 'reset', 'worklight'];

/** Steps time by so many tenths of a second. */
export function step(tenths) {
  const now = look();
  const t = Math.round((now.t_s + tenths * STEP_S) * 10) / 10;
  lookAt({ playing: false, t_s: Math.min(Math.max(t, 0), whole(now.cue)) });
}

function whose({ live, own }) {
  if (own) return 'your own look';
  if (live && boxCue() === null) return `the box is ${told.box?.face?.mode ?? 'dark'}: this comes next`;
  if (live) return 'follows the box';
  return drives() ? 'everybody looks here' : 'with the driver';
}

function button(id, words, icon) {
  const node = byId(id);
  if (node.dataset.icon === icon) return;
  node.dataset.icon = icon;
  set(node, 'aria-label', words);
  set(node, 'title', words);
  put(node, sign(icon));
}

function fill() {
  const now = look();
  const end = whole(now.cue);
  const slider = byId('time');
  set(slider, 'max', (Math.max(Math.ceil(end / STEP_S), 1) * STEP_S).toFixed(1));
  // A hand on the slider is not pushed off by rounding, and it stands at whole steps anyway.
  if (Math.abs(slider.value - now.t_s) > STEP_S / 2) slider.value = now.t_s.toFixed(2);
  become(slider, 'disabled', now.cue === null);
  set(slider, 'aria-valuetext', `${seconds(now.t_s)} of ${seconds(end)}`);
  write(byId('time-now'), plain(now.t_s, 1));
  write(byId('time-whole'), seconds(end));
  button('play', now.playing ? 'Pause (K)' : 'Play (K)', now.playing ? 'pause' : 'play');
  become(byId('play'), 'disabled', now.cue === null);
  title(now);
  become(byId('speed'), 'value', String(now.speed));
  become(byId('mode'), 'value', now.mode ?? '');
}

function title(now) {
  write(byId('cue-title'), cueName(cueNow()));
  write(byId('whose'), whose(now));
  become(byId('follow'), 'hidden', drives() ? now.live : !now.own);
  write(byId('follow'), drives() ? 'Follow the box' : 'Back to the driver');
  become(byId('begin'), 'hidden', !drives() || now.live || now.cue === null || now.cue === boxCue());
  const limit = cueNow()?.limit_s ?? null;
  become(byId('limit-form'), 'hidden', limit === null);
  become(byId('limit'), 'disabled', !drives());
  if (document.activeElement !== byId('limit')) become(byId('limit'), 'value', String(limit ?? ''));
}

function setLimit(event) {
  event.preventDefault();
  try {
    const seconds = number(byId('limit'), 0.1, 3600);
    if (seconds !== cueNow().limit_s) edit({ what: 'limit-cue', number: cueNow().number, seconds });
  } catch (fault) {
    if (!(fault instanceof RangeError)) throw fault;
    say(saidAt(), fault.message, 'refused');
  }
}

// GO never skips a cue; a rehearsal may begin anywhere.
async function begin() {
  if (await tried(saidAt(), ask('begin', { cue: look().cue }))) follow();
}

/** Begins to keep time. */
export function beginTime() {
  put(byId('mode'), el('option', { value: '', text: 'floor as cued' }),
    MODES.map((value) => el('option', { value, text: `floor in ${value.toUpperCase()}` })));
  byId('time').addEventListener('input', ({ target }) => {
    lookAt({ playing: false, t_s: Math.min(Number(target.value), whole(look().cue)) });
  });
  byId('play').addEventListener('click', play);
  byId('back-step').addEventListener('click', () => step(-1));
  byId('on-step').addEventListener('click', () => step(1));
  byId('speed').addEventListener('change', ({ target }) => lookAt({ speed: Number(target.value), t_s: look().t_s }));
  byId('mode').addEventListener('change', ({ target }) => lookAt({ mode: target.value || null }));
  byId('follow').addEventListener('click', follow);
  byId('begin').addEventListener('click', begin);
  byId('limit-form').addEventListener('submit', setLimit);
  const again = soon(fill);
  ['now', 'cue', 'stage', 'house', 'you', 'line'].forEach((kind) => on(kind, again));
  const toBox = onChange(again);
  on('box', ({ face }) => toBox([face?.mode, boxCue()]));
}
