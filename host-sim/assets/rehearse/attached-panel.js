// A real or emulated box beside the simulated one: the same orders go to both, and every pixel is compared.

import { el, put, set, write } from './dom.js';
import { ask, drives, on, told, whyNot } from './live.js';
import { Newest, show } from './newest.js';
import { tried } from './say.js';
import { count } from './words.js';

const STATES = { asking: 'asking', same: 'same pixels', differs: 'DIFFERS', silent: 'silent', none: 'none attached' };

/** A picture with its words, which is fetched again when its number is another one. */
function frame(words, address) {
  const image = el('img', { alt: words });
  const newest = new Newest((at) => show(image, at));
  let last = null;
  const figure = el('figure', { 'data-picture': words }, image, el('figcaption', { text: words }));
  return {
    figure,
    fill(number) {
      if (number !== last) newest.wish(address(number));
      last = number;
    },
  };
}

/** The display of both, side by side. */
function displays() {
  const [own, other] = [
    frame('display, simulated', (n) => `/box/display.png?size=small&n=${n}`),
    frame('display, attached', (n) => `/attached/display.png?n=${n}`),
  ];
  const root = el('div', { class: 'pair' }, own.figure, other.figure);
  return { root, fill: (box, attached) => [own.fill(box.display), other.fill(attached.display)] };
}

function howMany(differing) {
  if (differing === undefined) return 'not compared yet';
  if (differing === 0) return 'no pixel differs';
  return `${count(differing, 'pixel')} ${differing === 1 ? 'differs' : 'differ'}`;
}

/** One canvas of both, and where they differ. */
function canvas(name) {
  const at = encodeURIComponent(name);
  const frames = [
    frame('simulated', (n) => `/box/floor/${at}.png?n=${n}`), frame('attached', (n) => `/attached/floor/${at}.png?n=${n}`),
    frame('pixels that differ', (n) => `/attached/differs/${at}.png?n=${n}`),
  ];
  const words = el('h3');
  const root = el('section', { 'data-canvas': name }, words, el('div', { class: 'pair' }, frames.map(({ figure }) => figure)));
  return {
    root,
    fill(box, attached) {
      const differing = attached.differing?.[name];
      write(words, `${name}: ${howMany(differing)}`);
      frames[0].fill(box.floor);
      frames[1].fill(attached.rows);
      frames[2].fill(`${attached.rows}.${box.floor}`);
    },
  };
}

function form(said) {
  const to = el('input', { 'aria-label': 'Where the box is', placeholder: 'tcp:127.0.0.1:62210', autocomplete: 'off', spellcheck: 'false', required: true });
  const [attach, detach] = [el('button', {}, 'Attach'), el('button', { type: 'button', click: () => tried(said, ask('detach')) }, 'Detach')];
  const root = el('form', {
    class: 'row', submit: (event) => {
      event.preventDefault();
      tried(said, ask('attach', { to: to.value.trim() }));
    },
  }, to, attach, detach);
  const may = (attached) => {
    set(to, 'disabled', !drives());
    set(attach, 'disabled', !drives());
    set(detach, 'disabled', !drives() || !attached);
    if (attached && document.activeElement !== to) to.value = attached.to;
  };
  return { root, may };
}

/** Builds the panel in `root`. */
export function attachedPanel(root) {
  const said = el('p', { class: 'said', role: 'status' });
  const { root: fields, may } = form(said);
  const [state, words, body] = [el('b', { class: 'state' }), el('span'), el('div', { class: 'attached' })];
  const how = el('p', { class: 'quiet', text: 'tcp:HOST:PORT, udp:HOST or a serial device. Both boxes get the same show and the same orders.' });
  put(root, el('div', { class: 'attached' }, fields, how, el('p', { role: 'status' }, state, ' ', words), said, body));
  const [face, canvases] = [displays(), new Map()];
  const again = () => {
    const attached = told.attached?.to ? told.attached : null;
    const key = attached?.state ?? 'none';
    state.dataset.state = key;
    write(state, STATES[key] ?? key);
    write(words, attached?.words ?? (drives() ? '' : `Attaching is off: ${whyNot()}.`));
    may(attached);
    if (!attached || !told.box) return void put(body);
    for (const name of Object.keys(attached.differing ?? {})) if (!canvases.has(name)) canvases.set(name, canvas(name));
    const shown = [face, ...canvases.values()];
    if (body.children.length !== shown.length) put(body, shown.map((one) => one.root));
    shown.forEach((one) => one.fill(told.box, attached));
  };
  ['attached', 'box', 'house', 'you', 'line'].forEach((kind) => on(kind, again));
  again();
}
