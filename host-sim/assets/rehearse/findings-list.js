// What the checks say, and what the last change did to it.

import { on, tell, told } from './live.js';

/** Severities that nobody wants to see now. */
export const unwanted = new Set(['note']);

let all = [];
let byCue = new Map();
let before = null;
let gone = [];
let chosen = null;
let revision = null;

const RANK = { stop: 0, fix: 1, note: 2 };
/** What makes a finding the same as one of another check, whatever its figure. */
export const key = (one) => [one.id, one.about, one.who, one.cue, one.shot, ...one.things].join('|');

/** All findings, the gravest first; `fresh` is how one differs from before the last change. */
export function list() {
  return all;
}

/** Findings of a cue by its number on paper, the gravest first; those of the whole show with `null`. */
export function ofCue(number) {
  return byCue.get(number) ?? [];
}

/** Findings that were there before the last change and are there no more. */
export function vanished() {
  return gone;
}

/** The finding that is looked at; `null` for none. */
export function picked() {
  return chosen;
}

/** Looks at a finding. */
export function pick(one) {
  chosen = one;
  tell('picked', one);
}

/** True while figures or fixes are still being worked out. */
export function isChecking() {
  return !told.findings || told.findings.state !== 'whole';
}

function fresh(one) {
  if (!before) return null;
  const old = before.get(key(one));
  if (!old) return 'new since the last change';
  const [was, is] = [old.figure?.value, one.figure?.value];
  if (was === undefined || is === undefined || Math.abs(was - is) < 0.005) return null;
  return { was: old.figure };
}

/** Findings by the number of their cue, in their order. */
export function grouped(findings) {
  const groups = new Map();
  for (const one of findings) {
    if (!groups.has(one.cue)) groups.set(one.cue, []);
    groups.get(one.cue).push(one);
  }
  return groups;
}

function take(news) {
  // Until the first check is done there is nothing to compare with.
  if (!news.of) return tell('list', all);
  if (news.revision !== revision) {
    if (revision !== null) before = new Map(all.map((one) => [key(one), one]));
    revision = news.revision;
  }
  const now = [...news.findings].sort((a, b) => RANK[a.severity] - RANK[b.severity]);
  const keys = new Set(now.map(key));
  all = now.map((one) => ({ ...one, fresh: fresh(one) }));
  byCue = grouped(all);
  gone = before ? [...before.values()].filter((one) => !keys.has(key(one))) : [];
  const same = chosen && all.find((one) => key(one) === key(chosen));
  chosen = same ?? null;
  return tell('list', all);
}

/** Begins to listen. */
export function beginList() {
  on('findings', take);
}
