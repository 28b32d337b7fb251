// The header: which show, who drives, what is not kept, and what can be taken away as a file.

import { become, byId, el, put, set, write } from './dom.js';
import { drives, on, told, whyNot, ask } from './live.js';
import { history } from './edits.js';
import { look } from './look.js';
import { tried } from './say.js';
import { count } from './words.js';

const FILES = [
  ['contact.png', 'Contact sheet of this cue', true], ['floor.png', 'Floor of this cue, as in a briefing', true],
  ['frames.zip', 'Frames of this cue, numbered', true], ['findings.txt', 'Findings as text', false],
  ['findings.json', 'Findings with every figure', false], ['show.toml', 'The show file as it is now', false],
];

function exports() {
  const { cue } = look();
  put(byId('export-list'), FILES.map(([file, words, ofCue]) => {
    const query = ofCue ? `?cue=${cue ?? 0}${file === 'frames.zip' ? '&fps=25' : ''}` : '';
    return el('li', {}, el('a', { href: `/export/${file}${query}`, download: file, text: words }));
  }));
}

function show({ title, code, file, unkept, undo, redo, changed_on_disk: changed }) {
  write(byId('title'), title);
  write(byId('code'), code);
  become(document, 'title', `${title} \u00b7 ${code} \u00b7 Underfoot rehearse`);
  become(byId('undo').dataset, 'has', String(undo > 0));
  become(byId('redo').dataset, 'has', String(redo > 0));
  set(byId('undo'), 'title', `Undo (Ctrl+Z): ${count(undo, 'change')} to take back`);
  set(byId('redo'), 'title', `Redo (Ctrl+Shift+Z): ${count(redo, 'change')} to make again`);
  write(byId('kept'), unkept ? 'not kept' : file ? 'kept' : 'no file yet');
  become(byId('kept').dataset, 'unkept', String(unkept));
  set(byId('kept'), 'title', file ? `File: ${file}` : 'This show has no file yet: Keep asks for a name.');
  become(byId('changed'), 'hidden', !changed);
  may();
}

function may() {
  const is = drives();
  for (const id of ['undo', 'redo']) become(byId(id), 'disabled', !is || byId(id).dataset.has !== 'true');
  become(byId('keep'), 'disabled', !is || (!told.show?.unkept && Boolean(told.show?.file)));
  become(byId('reload'), 'disabled', !is);
  set(byId('keep'), 'title', is ? 'Write the show to its file (Ctrl+S)' : `Keep is off: ${whyNot()}`);
}

function who() {
  const why = whyNot();
  write(byId('right'), why ? (why.endsWith(' drives') ? why : 'looking only') : 'you drive');
  become(byId('right').dataset, 'drives', String(!why));
  write(byId('drive'), why ? 'Drive' : 'Give up');
  const me = told.house?.people.find((person) => person.id === told.you?.id);
  become(byId('drive'), 'disabled', !told.line?.up || (me?.right === 'view' && !drives()));
  set(byId('drive'), 'title', why ? `Now: ${why}` : 'Let somebody else drive');
  may();
}

/** Keeps the show; one without a file is asked for a name first. */
export function keep() {
  if (!drives()) return;
  if (told.show?.file) return void history('keep', {});
  byId('keep-as').showModal();
  byId('keep-name').select();
}

async function keepAs(event) {
  event.preventDefault();
  const typed = byId('keep-name').value.trim();
  const name = typed.endsWith('.toml') ? typed : `${typed}.toml`;
  if (await tried(byId('keep-said'), ask('keep', { as: name }))) byId('keep-as').close();
}

function line({ up }) {
  byId('line-down').hidden = up;
  document.body.classList.toggle('cut-off', !up);
}

/** Begins the header. */
export function beginHead() {
  byId('drive').addEventListener('click', () => tried(byId('head-said'), ask('drive', { take: !drives() })));
  byId('undo').addEventListener('click', () => history('undo'));
  byId('redo').addEventListener('click', () => history('redo'));
  byId('reload').addEventListener('click', () => history('reload'));
  byId('keep').addEventListener('click', keep);
  byId('keep-form').addEventListener('submit', keepAs);
  byId('keep-cancel').addEventListener('click', () => byId('keep-as').close());
  on('show', show);
  on('line', line);
  ['house', 'you', 'line'].forEach((kind) => on(kind, who));
  on('cue', exports);
  exports();
}
