// What the checks say, as a list: by cue, with its words, its figure and the smallest fix; a click goes there.

import { byId, el, set, write } from './dom.js';
import { grouped, isChecking, key, list, pick, picked, unwanted, vanished } from './findings-list.js';
import { choose } from './chosen.js';
import { on, tell, told } from './live.js';
import { goTo, lasts, look } from './look.js';
import { announce } from './say.js';
import { reveal } from './shots.js';
import { sign } from './signs.js';
import { refill, soon } from './sparing.js';
import { cueIndex, cueNow, stage } from './stage.js';
import { centre } from './view.js';
import { count, cueName, figure, seconds } from './words.js';

const SEVERITIES = ['stop', 'fix', 'note'];
const STATES = {
  checking: 'checking\u2026', quick: 'figures are new; working out fixes\u2026', whole: '',
  broken: 'the checks broke off at this change, which is a fault of the tool: undo it',
};

/** Which finding a button stands for: a check gives the same ones anew. */
const of = new WeakMap();

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

// All that a row shows.
const words = ({ severity, who, shot, moment_s: moment, fresh, what, figure: how, fix }) =>
  JSON.stringify([severity, who, shot, moment, fresh, what, how, fix]);

function row(one) {
  return el('li', {}, el('button', {
    type: 'button', class: `finding ${one.severity}`, click: ({ currentTarget }) => pick(of.get(currentTarget)),
  },
  sign(one.severity),
  el('span', { class: 'body' },
    el('span', { class: 'head' }, el('b', { text: one.severity.toUpperCase() }), where(one)),
    el('span', { class: 'what', text: `${one.what}${one.figure ? `: ${figure(one.figure)}` : ''}` }),
    one.fix && el('span', { class: 'remedy' }, el('i', { text: 'Fix: ' }), one.fix))));
}

function goneRow(one) {
  const words = `${one.who ?? ''} ${one.what}`.trim();
  return el('li', { class: 'gone' }, el('b', { text: `GONE ${one.severity}` }), el('span', { text: words }));
}

// A row that is made anew keeps the focus where it was.
function keepFocus(box, make) {
  const focus = document.activeElement;
  const rows = () => [...box.querySelectorAll('.finding')];
  const had = of.get(focus);
  const at = had ? rows().indexOf(focus) : -1;
  make();
  if (at < 0 || document.activeElement === focus) return;
  const same = rows().find((one) => key(of.get(one)) === key(had));
  (same ?? rows()[Math.min(at, rows().length - 1)])?.focus({ preventScroll: true });
}

function sections(all) {
  const cues = [...grouped(all)].sort(([a], [b]) => cueIndex(a) - cueIndex(b));
  const gone = vanished();
  return [
    ...(gone.length ? [{ head: 'Gone since the last change', rows: gone, make: goneRow }] : []),
    ...cues.map(([cue, rows]) => ({ cue, head: title(cue), rows, make: row })),
  ];
}

function section({ cue, head }) {
  return el('li', { 'data-cue': cue }, el('h3', { text: head }), el('ul'));
}

function rows(list, all, make) {
  const nodes = refill(list, all, words, make);
  if (make !== row) return;
  nodes.forEach(({ firstElementChild: button }, i) => {
    of.set(button, all[i]);
    set(button, 'aria-current', all[i] === picked() ? 'true' : null);
  });
}

function fill() {
  const all = wanted();
  const box = byId('finding-list');
  keepFocus(box, () => {
    const parts = sections(all);
    const nodes = refill(box, parts, ({ cue, head }) => `${cue} ${head}`, section);
    nodes.forEach(({ lastElementChild: list }, i) => rows(list, parts[i].rows, parts[i].make));
  });
  const others = list().filter((one) => unwanted.has(one.severity)).length;
  const none = others ? `None of these; ${count(others, 'other')} not shown.` : 'No fault was measured here.';
  write(byId('finding-none'), all.length || !told.findings?.of ? '' : none);
}

function counts() {
  const { counts: number = {}, of: known, state } = told.findings ?? {};
  for (const word of SEVERITIES) write(byId(`count-${word}`), known ? String(number[word]) : '\u2013');
  write(byId('finding-state'), STATES[state ?? 'checking']);
  if (isChecking()) return;
  const fresh = list().filter((one) => one.fresh && !one.fresh.was).length;
  const waived = number.waived ? `, ${number.waived} waived` : '';
  const since = `${fresh} new, ${vanished().length} gone since the last change`;
  announce(`${number.stop} stop, ${number.fix} fix, ${number.note} note${waived}; ${since}`);
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
  let [had, leads] = [0, false];
  const again = soon(() => {
    fill();
    if (leads) toGroup();
    leads = false;
  });
  on('list', () => {
    leads ||= !had;
    had = list().length;
    again();
    counts();
  });
  on('cue', () => {
    leads ||= !byId('only-cue').checked;
    again();
  });
  on('stage', again);
  on('picked', (one) => {
    fill();
    go(one);
    byId('finding-list').querySelector('[aria-current]')?.focus({ preventScroll: false });
  });
}
