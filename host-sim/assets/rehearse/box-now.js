// What the simulated box is at, in the page's terms.

import { told } from './live.js';

/** Index of the cue on the floor; `null` before the first and without power. */
export function boxCue() {
  return told.box?.face?.now ?? null;
}

/** Index of the cue that GO leads to. */
export function boxNext() {
  return told.box?.face?.next ?? null;
}

/** Seconds since its cue began. It tells whole ones; between two its clock is taken to run on. */
export function boxSeconds() {
  const { cue_s: whole, heard } = told.box ?? {};
  if (whole === null || whole === undefined) return 0;
  return whole + Math.min((performance.now() - heard) / 1000, 1);
}

/** True while its clock is taken to run on: it has a cue, and what it told last is not a second old. */
export function boxRuns() {
  const { cue_s: whole, heard } = told.box ?? {};
  return whole !== null && whole !== undefined && performance.now() - heard < 1000;
}
