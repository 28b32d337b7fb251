// Every key of the page in one table: what the help says is what they do.

import { byId, el, isTyping, put, write } from './dom.js';
import { choose, chooseBeside, chosen } from './chosen.js';
import { besideCue } from './cues.js';
import { history, moveBy, saidAt } from './edits.js';
import { keep } from './head.js';
import { LAYERS, toggle } from './layers.js';
import { drives, whyNot } from './live.js';
import { play } from './look.js';
import { fitTo } from './plan.js';
import { letGo, point } from './plan-hand.js';
import { announce, say } from './say.js';
import { step } from './time.js';
import { move, view, zoom } from './view.js';

const KEPT = 'underfoot-single-keys';
const [COARSE_M, FINE_M, PAN_PX] = [0.05, 0.01, 48];
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

function beside(by) {
  byId('plan').focus();
  chooseBeside(by);
  announce(chosen.kind ? `${chosen.kind} ${chosen.name}` : 'nothing to choose');
}

function help() {
  if (byId('help').open) byId('help').close();
  else byId('help').showModal();
}

/** Single keys: [keys, as they are written, what they do, how]; a pair is written once. */
const SINGLE = [
  [['n'], 'N, Shift N', 'choose the next thing, the one before', () => beside(1)],
  [['N'], '', '', () => beside(-1)],
  [['e'], 'E', 'type where the chosen thing is', () => byId('thing-x').focus()],
  [['['], '[ ]', 'the cue before, the next cue', () => besideCue(-1)],
  [[']'], '', '', () => besideCue(1)],
  [['k'], 'K', 'play, pause', play],
  [[','], ', .', '0.1 s back, 0.1 s on', () => step(-1)],
  [['.'], '', '', () => step(1)],
  [['f'], 'F, A', 'fit the floor, fit everything', () => fitTo('floor')],
  [['a'], '', '', () => fitTo('all')],
  [['+', '='], '+ \u2212', 'nearer, farther', () => zoom(1.3)],
  [['-'], '', '', () => zoom(1 / 1.3)],
  [['p'], 'P', 'point: everybody sees a ring there for 3 s', () => point()],
  [['r'], 'R', 'write a remark', () => byId('remark').focus()],
  [['b'], 'B', 'to the keys of the box', () => byId('box').querySelector('button:not(:disabled)')?.focus()],
  [['?'], '?', 'this help', help],
];

function layers() {
  const own = LAYERS.filter(([digit]) => digit);
  return own.map(([digit, , words]) => `${digit} ${words.toLowerCase()}`).join(', ');
}

/** Keys that work while something is typed, too, or only on the plan: for the help. */
const OTHERS = [
  ['Arrows', 'on the plan: move the chosen thing 50 mm; the plan when none is chosen'],
  ['Shift arrows', 'move it 10 mm'],
  ['Esc', 'let go of what is carried or chosen'],
  ['Ctrl Z', 'undo'], ['Ctrl Shift Z', 'redo'], ['Ctrl S', 'keep'],
  ['G B H O C', 'in the box: GO, BACK, HOLD, OFF, CLEAR, down and up like its keys'],
  ['Digits', `layers of the plan: ${layers()}`],
];

function nudge(event) {
  const way = ARROWS[event.key];
  const here = document.activeElement;
  if (!way || (here !== document.body && here !== byId('plan'))) return false;
  const [x, y] = way;
  if (!chosen.kind) move((x * PAN_PX) / view.scale, (y * PAN_PX) / view.scale);
  else if (!drives()) say(saidAt(), `Not moved: ${whyNot()}`, 'refused');
  else moveBy(chosen, way.map((m) => m * (event.shiftKey ? FINE_M : COARSE_M)));
  return true;
}

function escape() {
  if (document.querySelector('dialog[open]')) return false;
  const menu = document.querySelector('details.menu[open]');
  if (menu) {
    menu.open = false;
    menu.querySelector('summary').focus();
  } else if (!letGo()) choose();
  if (isTyping(document.activeElement)) byId('plan').focus();
  return true;
}

function withControl(event) {
  const key = event.key.toLowerCase();
  if (key === 's') keep();
  else if (isTyping(event.target)) return false;
  else if (key === 'z') history(event.shiftKey ? 'redo' : 'undo');
  else if (key === 'y') history('redo');
  else return false;
  return true;
}

function single(event) {
  if (!byId('single-keys').checked && event.key !== '?') return false;
  const layer = LAYERS.find(([digit]) => digit && digit === event.key);
  if (layer) {
    announce(`${layer[2]} ${toggle(layer[1]) ? 'shown' : 'hidden'}`);
    return true;
  }
  const row = SINGLE.find(([keys]) => keys.includes(event.key));
  row?.[3]();
  return Boolean(row);
}

function take(event) {
  if (event.defaultPrevented || event.isComposing) return;
  if (event.key === 'Escape') return void (escape() && event.preventDefault());
  if (event.ctrlKey || event.metaKey) return void (withControl(event) && event.preventDefault());
  if (event.altKey || isTyping(event.target)) return;
  if (document.querySelector('dialog[open]') && event.key !== '?') return;
  if (nudge(event) || single(event)) event.preventDefault();
}

function table() {
  const single = SINGLE.filter(([, written]) => written).map(([, written, words]) => [written, words]);
  put(byId('key-table'), [...single, ...OTHERS].map(([keys, words]) =>
    el('tr', {}, el('th', { scope: 'row' }, el('kbd', { text: keys })), el('td', { text: words }))));
}

function kept() {
  try {
    return localStorage.getItem(KEPT) !== 'off';
  } catch {
    return true;
  }
}

/** Begins to take keys. */
export function beginKeys() {
  table();
  byId('single-keys').checked = kept();
  byId('single-keys').addEventListener('change', ({ target }) => {
    try {
      localStorage.setItem(KEPT, target.checked ? 'on' : 'off');
    } catch {
      // It is only a comfort.
    }
    write(byId('single-said'), target.checked ? 'on' : 'off');
  });
  byId('help-open').addEventListener('click', help);
  byId('help-close').addEventListener('click', help);
  document.addEventListener('keydown', take);
}
