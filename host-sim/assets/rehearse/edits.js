// Changes of the show: moved, turned, typed; one at a time, the newest place wins.

import { ask, on, tell } from './live.js';
import { byId } from './dom.js';
import { placeOf } from './chosen.js';
import { tried } from './say.js';
import { stage, thing } from './stage.js';

const targets = new Map();
let busy = false;

/** Where refusals of edits are said. */
export const saidAt = () => byId('thing-said');

// Where the show has it at rest; a person stands where the moment has them.
function rest({ kind, name }) {
  return kind === 'person' ? placeOf({ kind, name }) : thing(kind, name)?.at.slice(0, 2);
}

function change({ kind, name, to }) {
  if (kind === 'person') return ask('stand', { person: name, at: to });
  return ask('edit', { change: { what: `move-${kind}`, name, to } });
}

/** Moves a thing by stage metres from where it is going to be. */
export function moveBy(what, [dx, dy]) {
  const from = targets.get(key(what))?.to ?? rest(what);
  if (from) moveTo(what, [from[0] + dx, from[1] + dy]);
}

/** Moves a thing to a place of rest. */
export function moveTo({ kind, name }, to) {
  const goal = { kind, name, to: to.map((m) => Number(m.toFixed(3))), waits: true };
  targets.set(key(goal), goal);
  ghost(goal);
  send();
}

const key = ({ kind, name }) => `${kind} ${name}`;

async function send() {
  if (busy) return;
  busy = true;
  for (let goal = next(); goal; goal = next()) {
    goal.waits = false;
    if (await tried(saidAt(), change(goal))) continue;
    targets.delete(key(goal));
    tell('ghost', null);
  }
  busy = false;
  // A person's move changes no show: nothing else will clear it.
  for (const [name, goal] of targets) if (goal.kind === 'person') settle(name);
}

const next = () => [...targets.values()].find(({ waits }) => waits);

function settle(name) {
  targets.delete(name);
  tell('ghost', null);
}

// What is drawn goes along with how far the place of rest has moved.
function ghost({ kind, name, to }) {
  const [from, here] = [rest({ kind, name }), placeOf({ kind, name })];
  if (!from || !here) return;
  tell('ghost', { kind, name, by: [to[0] - from[0], to[1] - from[1]], to });
}

/** Any other change of the show; a refusal is said beside the form. */
export function edit(fields) {
  return tried(saidAt(), ask('edit', { change: fields }));
}

/** A person stands as planned again. */
export function asPlanned(person) {
  return tried(saidAt(), ask('stand', { person, at: null }));
}

/** Takes back, makes again, keeps: said in the header. */
export function history(what, fields) {
  return tried(byId('head-said'), ask(what, fields));
}

/** Begins to listen: what the show has now is no longer a wish. */
export function beginEdits() {
  on('stage', () => {
    if (busy || !stage.show) return;
    targets.clear();
    tell('ghost', null);
  });
}
