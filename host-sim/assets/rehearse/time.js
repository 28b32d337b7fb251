// Time of the cue that is looked at: scrub, step, play, and the mode in which the floor is painted.

import { byId, el, put, set, write } from './dom.js';
import { drives, on, told } from './live.js';
import { follow, lasts, look, lookAt, play } from './look.js';
import { sign } from './signs.js';
import { cueNow } from './stage.js';
import { cueName, plain, seconds } from './words.js';

const STEP_S = 0.1;

/** Steps time by so many tenths of a second. */
export function step(tenths) {
  const now = look();
  const t = Math.round((now.t_s + tenths * STEP_S) * 10) / 10;
  lookAt({ playing: false, t_s: Math.min(Math.max(t, 0), lasts(now.cue)) });
}

function whose({ live, own }) {
  if (own) return 'your own look';
  if (live) return told.box ? 'follows the box' : 'before the first cue';
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

function fill(now) {
  const whole = lasts(now.cue);
  const slider = byId('time');
  slider.max = Math.max(whole, STEP_S).toFixed(2);
  if (document.activeElement !== slider || Math.abs(slider.value - now.t_s) > STEP_S / 2) slider.value = now.t_s.toFixed(2);
  slider.disabled = now.cue === null;
  set(slider, 'aria-valuetext', `${seconds(now.t_s)} of ${seconds(whole)}`);
  write(byId('time-now'), plain(now.t_s, 1));
  write(byId('time-whole'), seconds(whole));
  button('play', now.playing ? 'Pause (K)' : 'Play (K)', now.playing ? 'pause' : 'play');
  byId('play').disabled = now.cue === null;
  write(byId('cue-title'), cueName(cueNow()));
  write(byId('whose'), whose(now));
  byId('follow').hidden = drives() ? now.live : !now.own;
  write(byId('follow'), drives() ? 'Follow the box' : 'Back to the driver');
  byId('speed').value = String(now.speed);
  byId('mode').value = now.mode ?? '';
}

/** Begins to keep time. */
export function beginTime() {
  const modes = [['', 'floor as cued'], ...['build', 'brief', 'standby', 'air', 'reset', 'worklight'].map((m) => [m, `floor in ${m.toUpperCase()}`])];
  put(byId('mode'), modes.map(([value, text]) => el('option', { value, text })));
  byId('time').addEventListener('input', ({ target }) => lookAt({ playing: false, t_s: Number(target.value) }));
  byId('play').addEventListener('click', play);
  byId('back-step').addEventListener('click', () => step(-1));
  byId('on-step').addEventListener('click', () => step(1));
  byId('speed').addEventListener('change', ({ target }) => lookAt({ speed: Number(target.value), t_s: look().t_s }));
  byId('mode').addEventListener('change', ({ target }) => lookAt({ mode: target.value || null }));
  byId('follow').addEventListener('click', follow);
  on('now', fill);
  on('cue', () => fill(look()));
}
