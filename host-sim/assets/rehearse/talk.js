// Who is here, what they call themselves, and what they remark.

import { byId, el, put, write } from './dom.js';
import { ask, on, told } from './live.js';
import { announce, tried } from './say.js';
import { chosen, placeOf } from './chosen.js';
import { centre, view } from './view.js';
import { place } from './words.js';

const MOST = 30;

function people({ driver, people: all }) {
  write(byId('people-count'), String(all.length));
  put(byId('people-list'), all.map(({ id, role, right }) => {
    const known = [id === driver && 'drives', right === 'view' && 'looks only', id === told.you?.id && 'you'];
    const words = known.filter(Boolean).join(', ');
    return el('li', {}, el('b', { text: role }), words && el('span', { class: 'quiet', text: ` ${words}` }));
  }));
  const me = all.find(({ id }) => id === told.you?.id);
  if (me && document.activeElement !== byId('role')) byId('role').value = me.role;
}

function hear({ role, text, at }) {
  const list = byId('remark-list');
  const go = at && el('button', { type: 'button', class: 'link', text: place(at), click: () => centre(at) });
  list.append(el('li', {}, el('b', { text: role }), ` ${text} `, go));
  while (list.children.length > MOST) list.firstElementChild.remove();
  list.scrollTop = list.scrollHeight;
  byId('remark-none').hidden = true;
  announce(`${role}: ${text}`);
}

// About the chosen thing's place, or the middle of what is looked at.
function about() {
  return placeOf(chosen) ?? [view.x, view.y];
}

async function remark(event) {
  event.preventDefault();
  const field = byId('remark');
  const at = byId('remark-here').checked ? about().map((m) => Number(m.toFixed(3))) : null;
  if (await tried(byId('talk-said'), ask('remark', { text: field.value, at }))) field.value = '';
}

function call(event) {
  event.preventDefault();
  tried(byId('talk-said'), ask('role', { role: byId('role').value }));
}

/** Begins to listen. */
export function beginTalk() {
  on('house', people);
  on('you', () => told.house && people(told.house));
  on('remark', hear);
  byId('remark-form').addEventListener('submit', remark);
  byId('role-form').addEventListener('submit', call);
}
