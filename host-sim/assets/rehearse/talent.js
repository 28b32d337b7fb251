// The floor for who stands on it: which sign is mine, where I go, what I see.

import { byId, el, put, set, write } from './dom.js';
import { connect, on, told } from './live.js';
import { beginLook, look } from './look.js';
import { Newest } from './newest.js';
import { announce } from './say.js';
import { sign } from './signs.js';
import { beginStage, stage } from './stage.js';
import { forgetPlan, showPlan } from './talent-plan.js';
import { STATES, markOf, markPicture } from './talent-signs.js';
import { figures, icons, sentence, whoWords } from './talent-words.js';
import { cueName } from './words.js';

/** The picture of the eyes is asked for twice a second at most: it is a still, not a film. */
const STEP_S = 0.5;
let gaze = { pan: 0, tilt: -35 };
let seen = '';
let spoken = '';

const mine = () => stage.show?.people.find(({ name }) => name === decodeURIComponent(location.hash.slice(1)));

const eyes = new Newest(async (address) => {
  const answer = await fetch(address);
  const image = byId('eye');
  image.hidden = !answer.ok;
  byId('eye-none').hidden = answer.ok;
  if (!answer.ok) return write(byId('eye-none'), why(answer.status, await answer.text()));
  const old = image.src;
  image.src = URL.createObjectURL(await answer.blob());
  await image.decode().catch(() => {});
  if (old.startsWith('blob:')) URL.revokeObjectURL(old);
  return undefined;
});

function why(status, words) {
  if (status === 404 && words.startsWith('There is nothing here')) return 'Not there: this page shows the plan alone.';
  return words.trim() ? `Not there: ${words.trim()}` : 'Not there.';
}

function everybody() {
  const row = (person) => el('li', {}, el('a', { href: `#${encodeURIComponent(person.name)}`, class: 'person' },
    markPicture(person.who, 'steady'), el('span', { class: 'name', text: person.name }), el('span', { class: 'quiet', text: whoWords(person.who) })));
  put(byId('everybody'), (stage.show?.people ?? []).map(row));
}

function legend(person) {
  put(byId('signs'), STATES.map(([state, words]) => el('li', {}, markPicture(person.who, state), el('b', { text: state }), el('span', { text: words }))));
}

// What the box's mark says now: only while the look follows the box.
function markNow(person, { live }) {
  const state = live ? told.box?.people?.find(({ name }) => name === person.name)?.state : '';
  byId('now-box').hidden = !state;
  if (!state) return;
  put(byId('now-mark'), markOf(person.who, state));
  const words = STATES.find(([one]) => one === state)?.[1] ?? '';
  write(byId('now-word'), `${state}: ${words}`);
}

function modeOf({ live, mode }) {
  return live ? told.box?.face?.mode.toLowerCase() ?? 'off' : mode;
}

function view(person, now) {
  const image = byId('eye');
  const is = stage.moment?.cue === now.cue && stage.moment.people.some(({ name }) => name === person.name);
  document.querySelector('.eyes').hidden = !is;
  image.alt = `What ${person.name} sees of the floor. ${sentence(stage.show, now.cue, person)}`;
  if (now.cue === null || !is) return;
  const mode = modeOf(now);
  const t = Math.round(now.t_s / STEP_S) * STEP_S;
  const query = `cue=${now.cue}&t=${t}&w=640&pan=${gaze.pan}&tilt=${gaze.tilt}${mode ? `&mode=${mode}` : ''}&rev=${stage.show.revision}`;
  const address = `/eye/${encodeURIComponent(person.name)}.png?${query}`;
  if (address !== seen) eyes.wish(address);
  seen = address;
}

function fill() {
  const person = mine();
  byId('choose').hidden = Boolean(person);
  byId('mine').hidden = !person;
  byId('other').hidden = !person;
  put(byId('who-am-i'), person ? [sign(person.who, 'on-plan'), `${person.name}: ${whoWords(person.who)}`] : 'Who are you?');
  if (!person || !stage.show) return;
  const now = look();
  const words = sentence(stage.show, now.cue, person);
  write(byId('cue'), now.cue === null ? 'not begun' : cueName(stage.show.cues[now.cue]));
  put(byId('icons'), icons(stage.show, now.cue, person));
  write(byId('sentence'), words);
  write(byId('figures'), figures(stage.show, now.cue, person));
  if (words !== spoken) announce(words);
  spoken = words;
  markNow(person, now);
  showPlan(person.name, now);
  view(person, now);
}

function chosen() {
  [seen, spoken] = ['', ''];
  forgetPlan();
  const person = mine();
  if (person) legend(person);
  fill();
  window.scrollTo(0, 0);
}

function turn({ currentTarget }) {
  gaze = { pan: Number(currentTarget.dataset.pan), tilt: Number(currentTarget.dataset.tilt) };
  for (const node of document.querySelectorAll('.turn button')) set(node, 'aria-pressed', String(node === currentTarget));
  fill();
}

beginStage();
beginLook();
for (const node of document.querySelectorAll('.turn button')) node.addEventListener('click', turn);
byId('other').addEventListener('click', () => (location.hash = ''));
addEventListener('hashchange', chosen);
addEventListener('resize', fill);
on('show', ({ code }) => write(byId('code'), code));
on('line', ({ up }) => (byId('line-down').hidden = up));
on('stage', () => {
  everybody();
  chosen();
});
['now', 'moment', 'box'].forEach((kind) => on(kind, fill));
connect();
