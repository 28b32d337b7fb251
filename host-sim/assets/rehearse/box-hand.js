// Keys under fingers: a key is down while anything holds it, and up when the last finger is gone.

import { ask, drives, on, tell } from './live.js';
import { el, svg } from './dom.js';
import { tried } from './say.js';

/** The box's keys: name, word, letter, and a sign in a box of 16 by 16 that looks like nothing else here. */
const KEYS = [
  ['back', 'BACK', 'B', 'M11 2v12L3 8z M9 5.6L5.8 8L9 10.4z'],
  ['hold', 'HOLD', 'H', 'M3 2h3.5v12H3z M9.5 2H13v12H9.5z'],
  ['clear', 'CLEAR', 'C', 'M8 1.5a6.5 6.5 0 1 1 0 13a6.5 6.5 0 1 1 0-13z M8 4a4 4 0 1 0 0 8a4 4 0 1 0 0-8z'],
  ['go', 'GO', 'G', 'M3 1l11 7-11 7z'],
  ['off', 'OFF', 'O', 'M2 4l2-2 4 4 4-4 2 2-4 4 4 4-2 2-4-4-4 4-2-2 4-4z'],
];
const PRESSES = [' ', 'Enter'];
/** How long the answer to a key may take. */
const PATIENCE_MS = 2000;

/** What holds each key down: pointers by their numbers, the keyboard by the key. */
const holders = new Map(KEYS.map(([name]) => [name, new Set()]));
let said = null;
let nodes = [];
let off = false;
/** When a key of this page went down last: what the box ticks then is for this hand. */
let touched = -Infinity;

/** True when somebody pressed a key here lately. */
export function justTouched() {
  return performance.now() - touched < 1500;
}

function send(name, down) {
  nodes.find((node) => node.dataset.key === name).classList.toggle('down', down);
  if (down) touched = performance.now();
  // A key that nobody answers for was pressed into nothing: the page has to say so before the network does.
  const late = setTimeout(() => tell('answers', false), PATIENCE_MS);
  tried(said, ask('key', { key: name, down })).finally(() => {
    clearTimeout(late);
    tell('answers', true);
  });
}

function hold(name, holder) {
  const mine = holders.get(name);
  if (off || !drives() || mine.has(holder)) return;
  mine.add(holder);
  if (mine.size === 1) send(name, true);
}

function letGo(name, holder) {
  if (holders.get(name).delete(holder) && holders.get(name).size === 0) send(name, false);
}

/** Lets every key go. */
export function letAllGo() {
  for (const [name, mine] of holders) {
    if (!mine.size) continue;
    mine.clear();
    send(name, false);
  }
}

/** Whether keys may be pressed at all; when not, all of them are up. */
export function allow(is) {
  off = !is;
  if (off || !drives()) letAllGo();
  for (const node of nodes) node.disabled = off || !drives();
}

function fingers(name) {
  const down = (event) => {
    if (event.button !== 0) return;
    event.preventDefault();
    // A finger that slides off a key has left it, as on the box.
    if (event.target.hasPointerCapture(event.pointerId)) event.target.releasePointerCapture(event.pointerId);
    event.currentTarget.focus({ preventScroll: true });
    hold(name, event.pointerId);
  };
  const up = ({ pointerId }) => letGo(name, pointerId);
  return { pointerdown: down, pointerup: up, pointercancel: up, pointerleave: up, contextmenu: (event) => event.preventDefault() };
}

function keyboard(name) {
  return {
    keydown: (event) => {
      if (!PRESSES.includes(event.key)) return;
      event.preventDefault();
      if (!event.repeat) hold(name, event.key);
    },
    keyup: (event) => PRESSES.includes(event.key) && letGo(name, event.key),
    blur: () => PRESSES.forEach((key) => letGo(name, key)),
  };
}

function key([name, word, letter, sign]) {
  return el('button', {
    type: 'button', class: `key key-${name}`, 'data-key': name, 'aria-keyshortcuts': letter, ...fingers(name), ...keyboard(name),
  },
  svg('svg', { viewBox: '0 0 16 16', 'aria-hidden': 'true' }, svg('path', { d: sign, 'fill-rule': 'evenodd' })),
  el('span', { class: 'word', text: word }), el('span', { class: 'how', 'data-how': name }));
}

// Letters press from anywhere on the page: it has nothing to type in.
function letters() {
  const of = (event) => !event.ctrlKey && !event.metaKey && !event.altKey
    && KEYS.find(([, , letter]) => letter === event.key.toUpperCase())?.[0];
  addEventListener('keydown', (event) => {
    const name = of(event);
    if (name && !event.repeat) hold(name, event.key.toUpperCase());
  });
  addEventListener('keyup', (event) => {
    const name = of(event);
    if (name) letGo(name, event.key.toUpperCase());
  });
}

/** Builds the keys in `root`; refusals are said in `words`. */
export function beginHand(root, words) {
  said = words;
  nodes = KEYS.map(key);
  root.append(...nodes);
  letters();
  // A page that nobody sees holds nothing.
  addEventListener('blur', letAllGo);
  addEventListener('pagehide', letAllGo);
  document.addEventListener('visibilitychange', () => document.hidden && letAllGo());
  ['house', 'you', 'line'].forEach((kind) => on(kind, () => allow(!off)));
}
