// What the box says, in words that are read at arm's length: the display stays what it is.

import { byId, el, put, write } from './dom.js';
import { on } from './live.js';
import { Newest, json, show } from './newest.js';
import { announce } from './say.js';
import { sign } from './signs.js';
import { cueName } from './words.js';

/** Both displays that a box may have: name, width, height. */
const DISPLAYS = [['large', 320, 240], ['small', 128, 64]];
/** Room that the words below the display need at least, pixels. */
const WORDS_PX = 190;
const PROMPTS = {
  off: 'Keep HOLD down until it ticks, let it go, then press GO.', armed: 'Press GO.',
  held: 'Power went while lit: keep GO down.', stopped: 'The house asks for dark: no key lights the floor.',
};
/** States in which GO leads to NEXT: the pointer is full then, as on the display. */
const LEADS = ['open', 'armed', 'held'];
const LONG = { back: 'keep down', clear: 'while down' };
/** Closed ring, broken ring, and nothing but a bar: they differ in form. */
const REVEAL = {
  CLEAR: 'M8 1a7 7 0 1 1 0 14a7 7 0 1 1 0-14z M8 3.6a4.4 4.4 0 1 0 0 8.8a4.4 4.4 0 1 0 0-8.8z',
  'NOT CLEAR': 'M2 2h12v12H2z M4.6 4.6v6.8h6.8V4.6z M1 13L13 1l2 2L3 15z',
  UNKNOWN: 'M2 7h3v2H2z M6.5 7h3v2h-3z M11 7h3v2h-3z',
};

let cues = [];
let people = [];

const shows = new Newest(async (revision) => {
  const all = await json(`/api/show?rev=${revision}`);
  [cues, people] = [all?.cues ?? [], all?.people ?? []];
  fill();
});

let box = null;

const name = (index, none) => (index === null || index === undefined ? none : cueName(cues[index]) ?? none);

// Without its power a box says nothing, and the page does not make up what it would say.
function fill() {
  if (!box) return;
  const { face } = box;
  write(byId('code'), face?.code ?? '----');
  write(byId('mode'), face?.mode ?? 'NO POWER');
  write(byId('now'), face ? nowWords(face) : 'dark: no power');
  byId('next-row').dataset.leads = LEADS.includes(face?.gate) && face.next !== null;
  write(byId('next'), face ? name(face.next, 'no further cue') : '\u2013');
  write(byId('control'), `${face?.control || 'nobody yet'}${face?.hold ? ' \u00b7 HOLD: keys alone' : ''}`);
  byId('prompt').hidden = !PROMPTS[face?.gate];
  write(byId('prompt'), PROMPTS[face?.gate]);
  reveal(face?.reveal ?? 'UNKNOWN');
  wrong(face?.faults ?? []);
  crowd(box.people ?? []);
  hints(face);
}

function nowWords({ gate, now }) {
  if (gate === 'open') return name(now, 'before the first cue');
  return { off: 'OFF: all marks are off', armed: 'OFF, armed', held: 'OFF: HELD', stopped: 'OFF: STOP' }[gate];
}

function reveal(word) {
  byId('reveal').dataset.word = word;
  write(byId('reveal-word'), word);
  byId('reveal-sign').setAttribute('d', REVEAL[word] ?? REVEAL.UNKNOWN);
}

function wrong(faults) {
  byId('wrong').dataset.is = faults.length > 0;
  write(byId('faults'), faults.length ? `! ${faults.join(', ')}` : 'nothing');
}

function crowd(all) {
  const row = ({ name: person, state }) => el('li', {},
    sign(people.find((one) => one.name === person)?.who ?? 'on', 'who'),
    el('span', { class: 'name', text: person }), el('b', { text: state || 'no mark shown' }));
  put(byId('people'), all.map(row));
}

// What a key does beside a short press, on the key.
function hints(face) {
  const words = { ...LONG, hold: face?.gate === 'off' ? 'keep down' : 'keys alone', go: face?.gate === 'held' ? 'keep down' : '', off: '' };
  for (const node of document.querySelectorAll('[data-how]')) write(node, words[node.dataset.how]);
  document.body.dataset.gate = face?.gate ?? 'dark';
}

// Whole device pixels for every pixel of the display, as many as there is room for.
function scale() {
  const says = byId('says');
  const ratio = devicePixelRatio || 1;
  const room = [says.clientWidth - 4, Math.max(says.clientHeight - WORDS_PX, 64)];
  const fits = ([, wide, high]) => Math.floor(Math.min((room[0] * ratio) / wide, (room[1] * ratio) / high, 3 * ratio));
  const of = fits(DISPLAYS[0]) >= ratio ? DISPLAYS[0] : DISPLAYS[1];
  const times = Math.max(fits(of), 1) / ratio;
  const image = byId('display');
  image.parentElement.dataset.size = of[0];
  // In parts of a CSS pixel where it has to be: attributes take whole ones alone.
  [image.style.width, image.style.height] = [of[1], of[2]].map((pixels) => `${pixels * times}px`);
  return of[0];
}

function display() {
  const draw = new Newest((address) => show(byId('display'), address));
  let last = '';
  const again = () => {
    const address = `/box/display.png?size=${scale()}&n=${box?.display ?? 0}`;
    if (address !== last) draw.wish(address);
    last = address;
  };
  on('box', ({ lines }) => {
    again();
    byId('display').alt = `Display of the box: ${(lines ?? []).join('; ') || 'dark'}`;
  });
  new ResizeObserver(again).observe(byId('says'));
}

// Read out: what a floor manager would call over the radio.
function speak() {
  let last = null;
  on('box', ({ face, lines }) => {
    const words = face ? `${face.mode}, ${lines?.[0] ?? ''}, reveal ${face.reveal}` : 'no power';
    if (last !== null && words !== last) announce(words);
    last = words;
  });
}

/** Begins to show what the box says. */
export function beginSays() {
  on('show', ({ revision }) => shows.wish(revision));
  on('box', (told) => {
    box = told;
    fill();
  });
  display();
  speak();
}
