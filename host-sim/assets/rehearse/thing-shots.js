// Shots of the chosen camera: what they look at and how long their lens is.

import { become, byId, el, put } from './dom.js';
import { chosen } from './chosen.js';
import { edit, saidAt } from './edits.js';
import { drives } from './live.js';
import { say } from './say.js';
import { onChange } from './sparing.js';
import { stage } from './stage.js';
import { number } from './thing.js';

const AXES = ['X', 'Y', 'Z'];

function field(words, value, label) {
  return el('label', {}, words, el('input', { value, inputmode: 'decimal', 'aria-label': label, size: 5 }));
}

function row(shot, disabled) {
  const [key] = shot.keys;
  const form = el('form', { class: 'shot-form', submit: (event) => aim(event, shot) },
    el('fieldset', { disabled: disabled || shot.keys.length > 1 },
      el('legend', { text: shot.name }),
      AXES.map((axis, i) => field(axis, key.look[i], `${shot.name} looks at ${axis}, metres`)),
      field('mm', key.focal_mm, `${shot.name} focal length, millimetres`),
      el('button', { text: 'Set' })),
    shot.keys.length > 1 && el('p', { class: 'quiet', text: 'a shot on the move: change its keys in the show file' }));
  return form;
}

async function aim(event, shot) {
  event.preventDefault();
  const [key] = shot.keys;
  try {
    const inputs = [...event.target.querySelectorAll('input')];
    const look = inputs.slice(0, 3).map((input) => number(input, -1000, 1000));
    const focal_mm = number(inputs[3], 1, 2000);
    if (look.some((m, i) => m !== key.look[i]) && !(await edit({ what: 'aim-shot', name: shot.name, look }))) return;
    if (focal_mm !== key.focal_mm) await edit({ what: 'zoom-shot', name: shot.name, focal_mm });
  } catch (fault) {
    if (!(fault instanceof RangeError)) throw fault;
    say(saidAt(), fault.message, 'refused');
  }
}

const rows = onChange(([shots, disabled]) => put(byId('thing-shot-list'), shots.map((shot) => row(shot, disabled))));

/** Fills the menu of the chosen camera's shots; hidden for everything else. */
export function fillShots() {
  const menu = byId('thing-shots');
  const shots = chosen.kind === 'camera' ? (stage.show?.shots ?? []).filter((shot) => shot.camera === chosen.name) : [];
  become(menu, 'hidden', !shots.length);
  if (!shots.length) become(menu, 'open', false);
  rows([shots, !drives()]);
}
