// What the page says: beside the thing that it is about, and to who cannot see it.

import { byId, write } from './dom.js';
import { Refusal } from './live.js';

const SHOWN_MS = 8000;
const timers = new WeakMap();

/** Says something to who listens instead of looking. */
export function announce(words) {
  const announcer = byId('announcer');
  if (announcer) write(announcer, words);
}

/** Writes words in a place that is read out, and takes them away after a while. */
export function say(node, words, kind = 'told') {
  clearTimeout(timers.get(node));
  node.dataset.kind = kind;
  write(node, words);
  if (words) timers.set(node, setTimeout(() => write(node, ''), SHOWN_MS));
}

/** Waits for an ask; a refusal is said where it happened. Returns true when it was done. */
export async function tried(node, asked) {
  try {
    await asked;
    say(node, '');
    return true;
  } catch (fault) {
    if (!(fault instanceof Refusal)) throw fault;
    say(node, `Not done: ${fault.message}`, 'refused');
    return false;
  }
}
