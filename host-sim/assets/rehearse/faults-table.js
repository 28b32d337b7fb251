// What follows from every fault in the mode of now, and what happened, the newest first.

import { el, put, write } from './dom.js';
import { plain } from './words.js';
import { sign } from './signs.js';

const follows = (then, mode) => (then.find(([of]) => of === mode) ?? [])[1] ?? 'the box is dark';

function row({ fault, now, then }, mode) {
  return el('tr', { class: now ? 'now' : null },
    el('th', { scope: 'row' }, now ? sign('flaw') : null, el('span', { text: fault }), now ? el('b', { class: 'flag', text: 'NOW' }) : null),
    el('td', { text: follows(then, mode) }));
}

function entry({ t_s: t, words }) {
  return el('li', {}, el('span', { class: 'when', text: `${plain(t, 1)} s` }), el('span', { text: words }));
}

// Only what is new is added, so that a reader hears it once and a place in the list is kept.
function add(list, log, shown) {
  const key = ({ t_s: t, words }) => `${t} ${words}`;
  const fresh = log.slice(log.findLastIndex((one) => key(one) === shown) + 1);
  list.prepend(...fresh.map(entry).reverse());
  while (list.children.length > 40) list.lastChild.remove();
  return log.length ? key(log.at(-1)) : shown;
}

/** Appends the table and the log to `root`; returns what shows another state of the box. */
export function faultTable(root) {
  const caption = el('caption');
  const body = el('tbody');
  const head = el('thead', {}, el('tr', {}, el('th', { scope: 'col', text: 'lost' }), el('th', { scope: 'col', text: 'what follows' })));
  const log = el('ol', { class: 'plain log', tabindex: '0', role: 'list', 'aria-labelledby': 'log-h' });
  root.append(el('table', { class: 'fault-table' }, caption, head, body), el('h3', { id: 'log-h', text: 'What happened, newest first' }), log);
  let [shown, last] = ['', ''];
  return ({ face, table, log: entries }) => {
    shown = add(log, entries ?? [], shown);
    const now = JSON.stringify([face?.mode, table]);
    if (now === last) return;
    last = now;
    write(caption, face ? `What follows in ${face.mode}` : 'The box has no power');
    put(body, (table ?? []).map((one) => row(one, face?.mode)));
  };
}
