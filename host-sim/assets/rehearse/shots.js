// Pictures of the cue's intended shots, each with its words; a flaw is told by word and shape.

import { become, byId, el, put, write } from './dom.js';
import { on } from './live.js';
import { look } from './look.js';
import { Newest, json, show } from './newest.js';
import { sign } from './signs.js';
import { onChange } from './sparing.js';
import { cueNow, stage } from './stage.js';
import { cueName } from './words.js';

const WIDE = 480;
const LARGE = 1280;

let cards = [];

function address(name, { cue, t_s, mode }, wide) {
  const when = `cue=${cue}&t=${t_s.toFixed(2)}&rev=${stage.show.revision}`;
  const file = `/shot/${encodeURIComponent(name)}`;
  return wide ? `${file}.png?${when}&w=${wide}${mode ? `&mode=${mode}` : ''}` : `${file}.json?${when}`;
}

/** People of a shot in words, the flawed ones first. */
export function people({ people: all = [], notes }) {
  const rows = [...all].sort((a, b) => Number(b.flawed) - Number(a.flawed));
  return [
    ...rows.map((one) => el('li', { class: one.flawed ? 'flawed' : '' },
      sign(one.flawed ? 'flaw' : 'plain'), el('span', { text: one.words }))),
    notes?.length > 0 && el('li', { class: 'quiet', text: notes.join(' \u00b7 ') }),
  ];
}

function flag(words) {
  const flawed = words.people?.filter((one) => one.flawed).length ?? 0;
  return [sign(flawed ? 'flaw' : 'plain'), el('span', { text: flawed ? `${flawed} to look at` : 'no fault measured' })];
}

function card(name) {
  const image = el('img', { alt: '', width: WIDE, height: (WIDE * 9) / 16 });
  const [list, state] = [el('ul', { class: 'shot-words' }), el('span', { class: 'shot-flag' })];
  const camera = stage.show.shots.find((shot) => shot.name === name)?.camera ?? '';
  const open = el('button', {
    type: 'button', class: 'shot-picture', 'aria-label': `Enlarge ${name}`, click: () => enlarge(name),
  }, image, el('span', { class: 'wait', text: 'being painted\u2026' }));
  const head = el('h3', {}, name, el('span', { class: 'quiet', text: ` ${camera}` }));
  const side = el('div', { class: 'shot-side', tabindex: '0', role: 'group', 'aria-label': `${name} in words` },
    head, state, list);
  const root = el('li', { class: 'shot', 'data-shot': name }, open, side);
  const say = onChange((words) => {
    put(state, flag(words));
    put(list, people(words));
  });
  const draw = new Newest(async (now) => {
    const words = await json(address(name, now));
    const is = await show(image, address(name, now, WIDE));
    root.classList.toggle('painted', is);
    become(image, 'alt', is ? `Picture of ${name}` : '');
    if (words) say(words);
  });
  return { name, root, draw };
}

function fill() {
  const names = cueNow()?.shots ?? [];
  if (names.join() !== cards.map((one) => one.name).join()) {
    cards = names.map(card);
    put(byId('shot-list'), cards.map((one) => one.root));
    byId('shot-none').hidden = names.length > 0;
  }
  again(look());
}

let last = '';

function again(now) {
  const wish = [now.cue, now.t_s.toFixed(2), now.mode, stage.show?.revision, cards.map((one) => one.name)].join();
  if (wish === last || now.cue === null) return;
  last = wish;
  for (const one of cards) one.draw.wish(now);
  if (byId('shot-large').open) large.wish({ ...now, name: byId('shot-large').dataset.shot });
}

const large = new Newest(async (now) => {
  const words = await json(address(now.name, now));
  put(byId('large-words'), words ? people(words) : []);
  byId('large-picture').alt = `${now.name} in cue ${cueName(cueNow())}`;
  await show(byId('large-picture'), address(now.name, now, LARGE));
});

/** Shows one shot large. */
export function enlarge(name) {
  const dialog = byId('shot-large');
  dialog.dataset.shot = name;
  write(byId('large-name'), `${name}, cue ${cueName(cueNow())}`);
  byId('large-picture').removeAttribute('src');
  put(byId('large-words'));
  large.wish({ ...look(), name });
  if (!dialog.open) dialog.showModal();
}

/** Brings a shot's card into view. */
export function reveal(name) {
  const root = cards.find((one) => one.name === name)?.root;
  root?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  for (const one of cards) one.root.classList.toggle('picked', one.name === name);
}

/** Begins to show shots. */
export function beginShots() {
  on('stage', fill);
  on('cue', fill);
  on('now', again);
  on('line', () => (last = ''));
}
