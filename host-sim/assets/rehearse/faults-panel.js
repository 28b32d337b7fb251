// Pull something out of the stage and put it back, and read what follows: the driver's hand in the wiring.

import { become, el, put, write } from './dom.js';
import { faultTable } from './faults-table.js';
import { ask, drives, on, told, whyNot } from './live.js';
import { tried } from './say.js';
import { sign } from './signs.js';

/** The on-air light: what is asked, and how it is written. */
const LIGHT = [[false, 'dark'], [true, 'lit'], [null, 'wire cut']];
/** What is pulled: name, field of the ask, what it is, its words in order and not, whether "true" is in order, buttons. */
const PULLS = [
  ['stop', 'pressed', 'Stop contact', 'open', 'closed: asks for dark', false, ['Close', 'Open']],
  ['tracking', 'lost', 'Camera tracking', 'there', 'says nothing', false],
  ['graphics', 'lost', 'Graphics', 'says what it draws', 'says nothing', false],
  ['desk', 'lost', 'Desk and all by it', 'there', 'says nothing', false],
  // A stage need not have these: without them nothing is out.
  ['timecode', 'runs', 'Timecode', 'runs', 'stands', true, ['Stop it', 'Run it']],
  ['presence', 'works', 'Presence', 'senses people', 'none', true, ['Take out', 'Put in']],
];
const WORDS = ['Pull out', 'Put back'];

let said = null;

const pull = (of, fields) => tried(said, ask('pull', { of, ...fields }));

// One row: what it is, its state in words and by a sign, and the button that changes it.
function row(name, isFine, state, [word, press]) {
  return el('li', { class: isFine ? 'fine' : 'out' },
    sign(isFine ? 'plain' : 'flaw'), el('span', { class: 'thing', text: name }), el('b', { text: state }),
    el('button', { type: 'button', 'data-pull': name, 'aria-label': `${name}: ${word.toLowerCase()}`, disabled: !drives(), click: press }, word));
}

function pulled([of, field, name, fine, not, isTrueFine, words = WORDS], state) {
  const is = state[of] === true;
  const isFine = is === isTrueFine;
  return row(name, isFine || isTrueFine, isFine ? fine : not, [words[isFine ? 0 : 1], () => pull(of, { [field]: !is })]);
}

function seat({ name, power, cable, mode, drives: paints }, index) {
  const at = (of, lost) => () => pull(of, { seat: index, lost });
  return [
    row(`Power of ${name}`, power, power ? `on, ${mode}${paints ? ', drives' : ', follows'}` : 'off', [WORDS[power ? 0 : 1], at('power', power)]),
    row(`Cable of ${name}`, cable, cable ? 'in' : 'out', [WORDS[cable ? 0 : 1], at('cable', cable)]),
  ];
}

// A list that is drawn anew keeps the focus where it was: the same button has other words then.
function renew(list, rows) {
  const had = list.contains(document.activeElement) ? document.activeElement.dataset.pull : null;
  put(list, rows);
  if (had) list.querySelector(`[data-pull="${CSS.escape(had)}"]`)?.focus();
}

/** How long the boxes may take to say what was asked of them and granted. */
const ANSWER_MS = 1000;

function light(root) {
  let asked = null;
  // What is asked is shown until the boxes say it, or until it is refused: what they say meanwhile is older.
  const choose = async (value, word) => {
    asked = word;
    const done = await pull('on-air', { lit: value });
    setTimeout(() => {
      if (asked !== word) return;
      asked = null;
      fill(told.box);
    }, done ? ANSWER_MS : 0);
  };
  const choice = ([value, word]) => el('label', { class: 'tick' },
    el('input', { type: 'radio', name: 'on-air', value: word, change: () => choose(value, word) }), word);
  const field = el('fieldset', { class: 'light' }, el('legend', { text: 'On-air light' }), LIGHT.map(choice));
  const note = el('p', { class: 'quiet', id: 'no-light', text: 'This show has no on-air light wired to its boxes: it changes nothing here.' });
  root.append(field, note);
  const inputs = [...field.querySelectorAll('input')];
  const fill = ({ pulled: state, wired }) => {
    const [, word] = LIGHT.find(([value]) => value === (state?.on_air ?? null));
    if (asked === word || !drives()) asked = null;
    for (const input of inputs) {
      become(input, 'checked', input.value === (asked ?? word));
      become(input, 'disabled', !drives());
    }
    become(field.dataset, 'out', String(state?.on_air === null));
    become(note, 'hidden', wired !== false);
  };
  return fill;
}

/** Builds the panel in `root`: what is out, what follows, and what happened. */
export function faultsPanel(root) {
  said = el('p', { class: 'said', role: 'status' });
  const why = el('p', { class: 'quiet why' });
  const list = el('ul', { class: 'plain pull-list', 'aria-label': 'What can be pulled out' });
  const group = el('div', { class: 'faults' }, why);
  const toLight = light(group);
  group.append(list);
  group.append(said);
  put(root, group);
  const toTable = faultTable(group);
  let last = '';
  const again = () => {
    write(why, drives() ? '' : `Nothing can be pulled here: ${whyNot()}.`);
    become(why, 'hidden', drives());
    const { box } = told;
    if (!box) return;
    toLight(box);
    toTable(box);
    const now = JSON.stringify([box.pulled, box.seats, drives()]);
    if (now !== last) renew(list, [...PULLS.map((one) => pulled(one, box.pulled)), ...box.seats.flatMap(seat)]);
    last = now;
  };
  ['box', 'house', 'you', 'line'].forEach((kind) => on(kind, again));
  again();
}
