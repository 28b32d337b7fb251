// The list of cues: which one the box is at, which comes next, which one is looked at.

import { byId, el, set, write } from './dom.js';
import { boxCue, boxNext } from './box-now.js';
import { on } from './live.js';
import { goTo, look } from './look.js';
import { announce } from './say.js';
import { stage } from './stage.js';
import { ofCue } from './findings-list.js';
import { sign } from './signs.js';
import { onChange, refill, soon } from './sparing.js';
import { cueName } from './words.js';

// The gravest of a cue's findings, and how many are as grave; notes are no reason to go there.
function worst(cue) {
  const mine = ofCue(cue.number);
  const severity = ['stop', 'fix'].find((word) => mine.some((one) => one.severity === word)) ?? null;
  return { severity, number: mine.filter((one) => one.severity === severity).length };
}

function rows() {
  return stage.show.cues.map(({ number, name, mode }, index) => {
    const state = index === boxCue() ? 'NOW' : index === boxNext() ? 'NEXT' : '';
    return { index, number, name, mode, state, worst: worst({ number }) };
  });
}

function flag({ severity, number }) {
  const words = `${number} ${severity}`;
  return severity && el('span', { class: 'worst', title: words }, sign(severity), el('span', { class: 'unseen', text: words }));
}

function row({ index, number, name, mode, state, worst: of }) {
  return el('li', {}, el('button', {
    type: 'button', class: 'cue', 'data-cue': index, 'data-state': state || null, click: () => goTo(index),
  },
  el('span', { class: 'number', text: number }),
  el('span', { class: 'name', text: name }),
  flag(of),
  el('span', { class: 'state', text: state }),
  el('span', { class: 'mode', text: mode.toUpperCase() })));
}

let shown = null;

function fill() {
  if (!stage.show) return;
  const box = byId('cue-list');
  const had = box.contains(document.activeElement) && document.activeElement.dataset.cue;
  const { cue } = look();
  const buttons = refill(box, rows(), JSON.stringify, row).map((node) => node.firstElementChild);
  buttons.forEach((button, index) => set(button, 'aria-current', index === cue ? 'true' : null));
  if (had && !box.contains(document.activeElement)) box.querySelector(`[data-cue="${had}"]`)?.focus();
  if (cue !== shown) buttons[cue]?.scrollIntoView({ block: 'nearest' });
  shown = cue;
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
  const again = soon(fill);
  const follow = onChange(again);
  ['now', 'box'].forEach((kind) => on(kind, () => follow([boxCue(), boxNext(), look().cue])));
  ['list', 'stage'].forEach((kind) => on(kind, again));
  on('cue', (cue) => announce(`Looking at cue ${cueName(stage.show?.cues[cue])}`));
  on('stage', ({ cues }) => write(byId('cue-count'), String(cues.length)));
}
