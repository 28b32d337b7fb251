// A real or emulated box beside the simulated one: what both show, every pixel compared, and the same orders if wanted.

import { canvas, displays } from './attached-pictures.js';
import { become, el, put, set, write } from './dom.js';
import { ask, drives, on, told, whyNot } from './live.js';
import { tried } from './say.js';
import { stage } from './stage.js';
import { cueName } from './words.js';

const STATES = {
  asking: 'asking', same: 'same pixels', differs: 'DIFFERS', dark: 'dark', silent: 'silent', 'other-show': 'other show',
  'other-version': 'other version', 'not-compared': 'not compared', none: 'none attached',
};
const HOW = 'tcp:HOST:PORT, udp:HOST or a serial device, of a box that has this show. What it paints is compared with what it '
  + 'should paint.';

function form(said) {
  const to = el('input', { 'aria-label': 'Where the box is', placeholder: 'tcp:127.0.0.1:62210', autocomplete: 'off', spellcheck: 'false', required: true });
  const orders = el('input', { type: 'checkbox' });
  const attach = () => tried(said, ask('attach', { to: to.value.trim(), orders: orders.checked }));
  const [attaches, detaches] = [el('button', {}, 'Attach'), el('button', { type: 'button', click: () => tried(said, ask('detach')) }, 'Detach')];
  const root = el('form', {
    class: 'row', submit: (event) => {
      event.preventDefault();
      attach();
    },
  }, to, attaches, detaches, el('label', { class: 'tick' }, orders, 'same orders: they light and darken its floor'));
  let known = null;
  orders.addEventListener('change', () => known && attach());
  const may = (attached) => {
    const is = attached && `${attached.obeys} ${attached.to}`;
    [to, orders, attaches].forEach((node) => set(node, 'disabled', !drives()));
    set(detaches, 'disabled', !drives() || !attached);
    // What somebody types or ticks stays until another box is told.
    if (is && is !== known) [to.value, orders.checked] = [attached.to, attached.obeys];
    known = is;
  };
  return { root, may };
}

/** What the two boxes are at, and what came of the last order. */
function abreast() {
  const rows = ['simulated', 'attached'].map((name) => ({ name, words: el('dd') }));
  const [apart, order] = [el('p'), el('p', { class: 'quiet' })];
  const root = el('div', {}, el('dl', { class: 'facts' }, rows.map(({ name, words }) => [el('dt', { text: name }), words]).flat()), apart, order);
  const at = (mode, cue) => (mode ? `${mode}${cue === null ? '' : ` \u00b7 ${cueName(stage.show?.cues[cue])}`}` : 'not known');
  return {
    root,
    fill(box, attached) {
      const both = [at(box.face?.mode, box.face?.now ?? null), at(attached.mode, attached.cue)];
      rows.forEach(({ words }, i) => write(words, both[i]));
      const heard = ['same', 'dark', 'differs'].includes(attached.state);
      const old = attached.state === 'silent' && attached.display > 0;
      const words = old ? 'What follows is what was seen of it last.'
        : heard && both[0] !== both[1] ? 'They are not at the same: the two pictures differ by right.' : '';
      write(apart, words);
      apart.hidden = !words;
      write(order, attached.order && `Last order: ${attached.order}.`);
      order.hidden = !attached.order;
    },
  };
}

/** Builds the panel in `root`. */
export function attachedPanel(root) {
  const said = el('p', { class: 'said', role: 'status' });
  const { root: fields, may } = form(said);
  const how = el('p', { class: 'quiet', text: HOW });
  const [state, words, body] = [el('b', { class: 'state' }), el('span'), el('div', { class: 'attached' })];
  put(root, el('div', { class: 'attached' }, fields, el('p', { role: 'status' }, state, ' ', words), said, how, body));
  const [both, faces, canvases] = [abreast(), displays(), new Map()];
  const pictures = (attached) => Object.keys(attached.differing).map((name) => {
    if (!canvases.has(name)) canvases.set(name, canvas(name));
    return canvases.get(name);
  });
  const again = () => {
    const attached = told.attached?.to ? told.attached : null;
    const key = attached?.state ?? 'none';
    become(state.dataset, 'state', key);
    write(state, STATES[key] ?? key);
    write(words, attached?.words ?? (drives() ? '' : `Attaching is off: ${whyNot()}.`));
    may(attached);
    how.hidden = Boolean(attached);
    if (!attached || !told.box) return void (body.firstChild && put(body));
    // Nobody sees the pictures of a panel that is closed.
    if (!(root.closest('details')?.open ?? true)) return undefined;
    const shown = [both, faces, ...pictures(attached)];
    const is = [...body.children];
    if (is.length !== shown.length || shown.some((one, i) => one.root !== is[i])) put(body, shown.map((one) => one.root));
    return shown.forEach((one) => one.fill(told.box, attached));
  };
  ['attached', 'box', 'house', 'you', 'line', 'stage'].forEach((kind) => on(kind, again));
  root.closest('details')?.addEventListener('toggle', again);
  again();
}
