// The simulated box: its display pixel for pixel, its words for who does not see it, its keys with a real down and up.

import { become, el, put, write } from './dom.js';
import { ask, drives, on, told, whyNot } from './live.js';
import { boxCue } from './box-now.js';
import { follow } from './look.js';
import { Newest, show } from './newest.js';
import { announce, say, tried } from './say.js';

const KEYS = [
  ['go', 'GO', 'G'], ['back', 'BACK', 'B'], ['hold', 'HOLD', 'H'], ['off', 'OFF', 'O'], ['clear', 'CLEAR', 'C'],
];
/** Display of the small box, and how many screen pixels each of its pixels gets. */
const [WIDE, HIGH, TIMES] = [128, 64, 2];

const MODES = ['build', 'brief', 'standby', 'air', 'reset', 'worklight'];

/** How long after GO or BACK a new cue is taken to come from it: BACK is held for a while. */
const ANSWER_MS = 3000;

const held = new Set();
/** When GO or BACK went down here last. */
let advanced = -Infinity;

function press(said, key, down) {
  if (down === held.has(key) || (down && !drives())) return;
  if (down) held.add(key);
  else held.delete(key);
  if (down && (key === 'go' || key === 'back')) advanced = performance.now();
  for (const node of document.querySelectorAll(`[data-key="${key}"]`)) node.classList.toggle('down', down);
  tried(said, ask('key', { key, down }));
}

function key(said, [name, words, letter]) {
  const down = (event) => {
    event.preventDefault();
    event.currentTarget.focus();
    event.currentTarget.setPointerCapture?.(event.pointerId);
    press(said, name, true);
  };
  const up = () => press(said, name, false);
  const isPress = ({ key: pressed }) => pressed === ' ' || pressed === 'Enter';
  return el('button', {
    type: 'button', class: `key key-${name}`, 'data-key': name, 'aria-keyshortcuts': letter,
    pointerdown: down, pointerup: up, pointercancel: up, lostpointercapture: up, blur: up,
    contextmenu: (event) => event.preventDefault(),
    keydown: (event) => {
      if (!isPress(event)) return;
      event.preventDefault();
      if (!event.repeat) press(said, name, true);
    },
    keyup: (event) => isPress(event) && up(),
  }, words);
}

// Letters press while the focus is anywhere in the panel.
function letters(root, said) {
  const of = (event) => !event.ctrlKey && !event.metaKey && !event.altKey
    && KEYS.find(([, , letter]) => letter === event.key.toUpperCase())?.[0];
  root.addEventListener('keydown', (event) => {
    const name = of(event);
    if (!name) return;
    event.preventDefault();
    event.stopPropagation();
    if (!event.repeat) press(said, name, true);
  });
  root.addEventListener('keyup', (event) => {
    const name = of(event);
    if (name) press(said, name, false);
  });
}

function display(image) {
  const draw = new Newest((number) => show(image, `/box/display.png?size=small&n=${number}`));
  let last = null;
  on('box', ({ display: number, lines }) => {
    if (number !== last) draw.wish(number);
    last = number;
    become(image, 'alt', `Display of the box: ${(lines ?? []).join('; ') || 'dark'}`);
  });
}

function facts(list) {
  const of = Object.fromEntries(['mode', 'reveal', 'relay', 'lamp'].map((name) => [name, el('dd')]));
  put(list, Object.entries(of).map(([name, value]) => [el('dt', { text: name }), value]).flat());
  on('box', ({ face, lamp, relay }) => {
    write(of.mode, face?.mode ?? 'no power');
    write(of.reveal, face?.reveal ?? 'UNKNOWN');
    write(of.relay, relay ? 'closed' : 'open');
    write(of.lamp, lamp ?? 'dark');
  });
}

function control(line) {
  const fill = () => {
    const { control: by, faults = [] } = told.box?.face ?? {};
    const words = `control ${by || 'nobody yet'} \u00b7 ${faults.length ? `faults ${faults.join(', ')}` : 'no faults'}`;
    write(line, drives() ? words : `${words}. Keys are off: ${whyNot()}.`);
  };
  ['box', 'house', 'line', 'you'].forEach((kind) => on(kind, fill));
}

// Not every word is read out: what a floor manager would call over the radio is.
function speak() {
  let last = null;
  on('box', ({ face }) => {
    const words = face ? `Box: ${face.mode}, reveal ${face.reveal}` : 'Box: no power';
    if (last !== null && words !== last) announce(words);
    last = words;
  });
}

// Whoever presses GO wants to see what it lights, whatever cue was looked at before.
function goAlong() {
  let last = null;
  on('box', () => {
    const cue = boxCue();
    if (cue !== last && cue !== null && drives() && performance.now() - advanced < ANSWER_MS) follow();
    last = cue;
  });
}

// The desk may ask for a mode beside the cue's own.
function modes(said) {
  const options = [['', 'mode as cued'], ...MODES.map((mode) => [mode, `ask for ${mode.toUpperCase()}`])];
  return el('select', {
    'aria-label': 'Mode that the desk asks of the box',
    change: ({ target }) => tried(said, ask('mode', { mode: target.value || null })),
  }, options.map(([value, text]) => el('option', { value, text })));
}

function release(said) {
  for (const name of [...held]) press(said, name, false);
}

/** Builds the panel in `root`. */
export function boxPanel(root) {
  const said = el('p', { class: 'said', role: 'status' });
  const image = el('img', { class: 'display', alt: 'Display of the box', width: WIDE * TIMES, height: HIGH * TIMES });
  const keys = el('div', { class: 'keys', role: 'group', 'aria-label': 'Keys of the box' },
    KEYS.map((one) => key(said, one)));
  const [list, why] = [el('dl', { class: 'facts' }), el('p', { class: 'quiet why' })];
  const mode = modes(said);
  put(root, el('div', { class: 'box-face' }, image, list), keys, el('div', { class: 'row' }, mode, why), said);
  letters(root, said);
  display(image);
  facts(list);
  control(why);
  speak();
  goAlong();
  ['house', 'line', 'you'].forEach((kind) => on(kind, () => {
    if (!drives()) release(said);
    for (const node of [...keys.children, mode]) become(node, 'disabled', !drives());
  }));
  addEventListener('blur', () => release(said));
  if (!told.box) say(said, '');
}
