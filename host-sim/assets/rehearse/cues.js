// The list of cues: which one the box is at, which comes next, which one is looked at.

import { byId, el, put, write } from './dom.js';
import { boxCue, boxNext } from './box-now.js';
import { on } from './live.js';
import { goTo, look } from './look.js';
import { announce } from './say.js';
import { stage } from './stage.js';
import { list } from './findings-list.js';
import { sign } from './signs.js';
import { cueName } from './words.js';

function worst(cue) {
  const mine = list().filter((one) => one.cue === cue.number);
  const severity = ['stop', 'fix', 'note'].find((word) => mine.some((one) => one.severity === word));
  if (!severity || severity === 'note') return null;
  const number = mine.filter((one) => one.severity === severity).length;
  return el('span', { class: 'worst', title: `${number} ${severity}` }, sign(severity),
    el('span', { class: 'unseen', text: `${number} ${severity}` }));
}

function row(cue, index, { cue: looked }) {
  const state = index === boxCue() ? 'NOW' : index === boxNext() ? 'NEXT' : '';
  return el('li', {}, el('button', {
    type: 'button', class: 'cue', 'aria-current': index === looked ? 'true' : null, 'data-cue': index,
    'data-state': state || null, click: () => goTo(index),
  },
  el('span', { class: 'number', text: cue.number }),
  el('span', { class: 'name', text: cue.name }),
  worst(cue),
  el('span', { class: 'state', text: state }),
  el('span', { class: 'mode', text: cue.mode.toUpperCase() })));
}

function fill() {
  if (!stage.show) return;
  const box = byId('cue-list');
  const had = box.contains(document.activeElement) && document.activeElement.dataset.cue;
  const now = look();
  put(box, stage.show.cues.map((cue, index) => row(cue, index, now)));
  if (had) box.querySelector(`[data-cue="${had}"]`)?.focus();
  box.querySelector('[aria-current]')?.scrollIntoView({ block: 'nearest' });
}

/** Goes to the cue before or after the one that is looked at. */
export function besideCue(step) {
  const { cues = [] } = stage.show ?? {};
  const { cue } = look();
  const next = cue === null ? 0 : Math.min(Math.max(cue + step, 0), cues.length - 1);
  if (cues.length) goTo(next);
}

function keys(event) {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (!step) return;
  event.preventDefault();
  const rows = [...byId('cue-list').querySelectorAll('button')];
  rows[Math.min(Math.max(rows.indexOf(document.activeElement) + step, 0), rows.length - 1)]?.focus();
}

/** Begins to list. */
export function beginCues() {
  byId('cue-list').addEventListener('keydown', keys);
  let last = '';
  const again = () => {
    const now = [boxCue(), boxNext(), look().cue].join();
    if (now !== last) fill();
    last = now;
  };
  on('now', again);
  on('box', again);
  on('list', fill);
  on('stage', fill);
  on('cue', (cue) => announce(`Looking at cue ${cueName(stage.show?.cues[cue])}`));
  on('stage', ({ cues }) => write(byId('cue-count'), String(cues.length)));
}
