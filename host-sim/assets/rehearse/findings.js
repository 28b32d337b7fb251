// What the checks say, as a list: by cue, with its words, its figure and the smallest fix; a click goes there.

import { byId, el, put, write } from './dom.js';
import { list, isChecking, pick, picked, unwanted, vanished } from './findings-list.js';
import { choose } from './chosen.js';
import { on, tell, told } from './live.js';
import { goTo, lasts, look } from './look.js';
import { announce } from './say.js';
import { reveal } from './shots.js';
import { sign } from './signs.js';
import { cueIndex, cueNow, stage } from './stage.js';
import { centre } from './view.js';
import { count, cueName, figure, seconds } from './words.js';

const SEVERITIES = ['stop', 'fix', 'note'];

function wanted() {
  const [cue, here] = [cueNow()?.number, byId('only-cue').checked];
  return list().filter((one) => !unwanted.has(one.severity) && (!here || one.cue === null || one.cue === cue));
}

function title(cue) {
  return cue === null ? 'Whole show' : `Cue ${cueName(stage.show?.cues[cueIndex(cue)] ?? { number: cue, name: '' })}`;
}

function where({ who, shot, moment_s: moment, fresh }) {
  const parts = [who, shot, moment === null ? null : `at ${seconds(moment)}`].filter(Boolean);
  return [
    parts.length > 0 && el('span', { class: 'where', text: parts.join(' \u00b7 ') }),
    fresh && el('span', { class: 'fresh', text: fresh.was ? `was ${figure(fresh.was)}` : fresh }),
  ];
}

function row(one) {
  return el('li', {}, el('button', {
    type: 'button', class: `finding ${one.severity}`, 'aria-current': one === picked() ? 'true' : null,
    click: () => pick(one),
  },
  sign(one.severity),
  el('span', { class: 'body' },
    el('span', { class: 'head' }, el('b', { text: one.severity.toUpperCase() }), where(one)),
    el('span', { class: 'what', text: `${one.what}${one.figure ? `: ${figure(one.figure)}` : ''}` }),
    one.fix && el('span', { class: 'remedy' }, el('i', { text: 'Fix: ' }), one.fix))));
}

function group(cue, rows) {
  return el('li', { 'data-cue': cue }, el('h3', { text: title(cue) }), el('ul', {}, rows.map(row)));
}

function goneRow(one) {
  const words = `${one.who ?? ''} ${one.what}`.trim();
  return el('li', { class: 'gone' }, el('b', { text: `GONE ${one.severity}` }), el('span', { text: words }));
}

// A list that is made anew keeps the focus where it was.
function keepFocus(box, make) {
  const rows = () => [...box.querySelectorAll('.finding')];
  const had = rows().indexOf(document.activeElement);
  const top = box.scrollTop;
  make();
  box.scrollTop = top;
  if (had >= 0) rows()[Math.min(had, rows().length - 1)]?.focus({ preventScroll: true });
}

function fill() {
  const all = wanted();
  const cues = [...new Set(all.map((one) => one.cue))].sort((a, b) => cueIndex(a) - cueIndex(b));
  const gone = vanished();
  const box = byId('finding-list');
  keepFocus(box, () => put(box,
    gone.length > 0 && el('li', {}, el('h3', { text: 'Gone since the last change' }), el('ul', {}, gone.map(goneRow))),
    cues.map((cue) => group(cue, all.filter((one) => one.cue === cue)))));
  const others = list().filter((one) => unwanted.has(one.severity)).length;
  const none = others ? `None of these; ${count(others, 'other')} not shown.` : 'No fault was measured here.';
  write(byId('finding-none'), all.length || !told.findings?.of ? '' : none);
}

function counts() {
  const { counts: of = {}, of: known, state } = told.findings ?? {};
  for (const word of SEVERITIES) write(byId(`count-${word}`), known ? String(of[word]) : '\u2013');
  const words = { checking: 'checking\u2026', quick: 'figures are new; working out fixes\u2026', whole: '',
    broken: 'the checks broke off at this change, which is a fault of the tool: undo it' };
  write(byId('finding-state'), words[state ?? 'checking']);
  if (isChecking()) return;
  const fresh = list().filter((one) => one.fresh && !one.fresh.was).length;
  const waived = of.waived ? `, ${of.waived} waived` : '';
  const since = `${fresh} new, ${vanished().length} gone since the last change`;
  announce(`${of.stop} stop, ${of.fix} fix, ${of.note} note${waived}; ${since}`);
}

// The cue, the moment, the place, the shot: everything that it is about.
function go(one) {
  if (!one) return;
  const cue = one.cue === null ? look().cue : cueIndex(one.cue);
  if (cue !== null && cue >= 0) goTo(cue, one.moment_s ?? lasts(cue));
  if (one.place_m) centre(one.place_m);
  if (one.shot) setTimeout(() => reveal(one.shot), 60);
  const prop = stage.show?.props.find(({ name }) => name === one.about);
  if (prop) choose('prop', prop.name);
}

// The findings of the cue that is looked at come into view, unless somebody is reading the list.
function toGroup() {
  const box = byId('finding-list');
  if (box.contains(document.activeElement)) return;
  const own = [...box.children].find((group) => group.dataset.cue === cueNow()?.number);
  if (own) box.scrollTop += own.getBoundingClientRect().top - box.getBoundingClientRect().top;
}

/** Begins to list findings. */
export function beginFindings() {
  for (const word of SEVERITIES) {
    byId(`show-${word}`).checked = !unwanted.has(word);
    byId(`show-${word}`).addEventListener('change', ({ target }) => {
      if (target.checked) unwanted.delete(word);
      else unwanted.add(word);
      tell('list', list());
    });
  }
  byId('only-cue').addEventListener('change', fill);
  let had = 0;
  on('list', () => {
    fill();
    if (!had) toGroup();
    had = list().length;
    counts();
  });
  on('cue', () => {
    if (byId('only-cue').checked) fill();
    else toGroup();
  });
  on('stage', fill);
  on('picked', (one) => {
    fill();
    go(one);
    byId('finding-list').querySelector('[aria-current]')?.focus({ preventScroll: false });
  });
}
