// The chosen thing in figures: choose it from a list, type where it is, turn it.

import { become, byId, el, put, set, write } from './dom.js';
import { all, choose, chosen, placeOf } from './chosen.js';
import { asPlanned, edit, moveTo, saidAt } from './edits.js';
import { drives, on, whyNot } from './live.js';
import { say } from './say.js';
import { onChange, soon } from './sparing.js';
import { fillShots } from './thing-shots.js';
import { people, thing } from './stage.js';

const KINDS = { prop: 'Props', mark: 'Marks', person: 'People', camera: 'Cameras' };
const FAR_M = 1000;

const value = ({ kind, name }) => `${kind} ${name}`;

const choices = onChange((things) => {
  const groups = Object.entries(KINDS).map(([kind, words]) => el('optgroup', { label: words },
    things.filter((one) => one.kind === kind).map((one) => el('option', { value: value(one), text: one.name }))));
  put(byId('thing-list'), el('option', { value: '', text: 'nothing chosen' }), groups);
});

function list() {
  choices(all());
  become(byId('thing-list'), 'value', chosen.kind ? value(chosen) : '');
}

/** What a field says as a number, or why it is none. A comma is taken for a point. */
export function number(field, least, most) {
  const text = field.value.trim().replace(',', '.').replace('\u2212', '-');
  const is = /^-?\d*\.?\d+$/.test(text) ? Number(text) : NaN;
  const bad = !(is >= least && is <= most);
  field.setAttribute('aria-invalid', bad);
  const name = field.labels[0]?.textContent.trim() || 'this';
  if (bad) throw new RangeError(`${name} is a number from ${least} to ${most}`);
  return is;
}

function turned({ kind, name }) {
  if (kind === 'prop') return thing(kind, name)?.heading_deg;
  return kind === 'mark' ? thing(kind, name)?.facing_deg : undefined;
}

function atRest(what) {
  return what.kind === 'person' ? placeOf(what) : thing(what.kind, what.name)?.at;
}

function fill() {
  const at = chosen.kind ? atRest(chosen) : null;
  const fields = { x: at?.[0], y: at?.[1], z: chosen.kind === 'camera' ? at?.[2] : undefined, turn: turned(chosen) };
  for (const [name, is] of Object.entries(fields)) {
    const field = byId(`thing-${name}`);
    become(field.closest('label'), 'hidden', is === undefined && (name === 'z' || name === 'turn'));
    if (document.activeElement !== field || field.dataset.of !== value(chosen)) {
      become(field, 'value', is === undefined ? '' : String(Number(is.toFixed(name === 'turn' ? 1 : 3))));
    }
    become(field.dataset, 'of', value(chosen));
    set(field, 'aria-invalid', null);
  }
  become(byId('thing-fields'), 'disabled', !drives() || !at);
  become(byId('thing-let-go'), 'hidden', !chosen.kind);
  offer();
  write(byId('thing-why'), why(at));
}

function why(at) {
  if (!chosen.kind) return 'Choose a thing: arrows then move it.';
  if (!at) return 'not in this cue';
  return drives() ? '' : `look only: ${whyNot()}`;
}

// Somebody who stands off their mark may be right: the mark can come to them.
function offer() {
  const person = chosen.kind === 'person' && people().find((one) => one.name === chosen.name);
  const { name, mark, at } = person && person.on === 'moved' ? person : {};
  offers({ name, mark, at, disabled: !drives() });
}

const offers = onChange(({ name, mark, at, disabled }) => {
  const button = (text, click) => el('button', { type: 'button', disabled, text, click });
  put(byId('thing-offer'),
    name && mark && button(`Move mark ${mark} here`, () => moveTo({ kind: 'mark', name: mark }, at)),
    name && button('As planned', () => asPlanned(name)));
});

function read() {
  return ['x', 'y', 'z', 'turn'].map((name) => {
    const field = byId(`thing-${name}`);
    const most = name === 'turn' ? 360 : FAR_M;
    return field.closest('label').hidden ? undefined : number(field, -most, most);
  });
}

async function submit(event) {
  event.preventDefault();
  try {
    const [x, y, z, turn] = read();
    const { kind, name } = chosen;
    const [at, was] = [atRest(chosen), turned(chosen)];
    const turns = turn !== undefined && Math.abs(turn - was) > 0.01;
    if (turns && !(await edit({ what: `turn-${kind}`, name, deg: turn }))) return;
    if (z !== undefined && Math.abs(z - at[2]) > 5e-4) await edit({ what: 'move-camera', name, to: [x, y], z });
    else if (Math.hypot(x - at[0], y - at[1]) > 5e-4) moveTo({ kind, name }, [x, y]);
  } catch (fault) {
    if (!(fault instanceof RangeError)) throw fault;
    say(saidAt(), fault.message, 'refused');
  }
}

/** Begins to show the chosen thing. */
export function beginThing() {
  byId('thing-list').addEventListener('change', ({ target }) => {
    const [kind, ...name] = target.value.split(' ');
    choose(kind || null, name.join(' ') || null);
  });
  byId('thing-form').addEventListener('submit', submit);
  byId('thing-let-go').addEventListener('click', () => choose());
  const show = () => {
    list();
    fill();
    fillShots();
  };
  const again = soon(show);
  ['stage', 'moment', 'house', 'you', 'line'].forEach((kind) => on(kind, again));
  // At once: whoever chose it may go on to type.
  on('chosen', () => {
    show();
    say(saidAt(), '');
  });
}
