// What the plan shows: every layer can be switched, by its box or by a digit.

import { byId, el, put } from './dom.js';
import { tell } from './live.js';

const KEPT = 'underfoot-layers';

/** Layers: digit, name, words, whether it is on at first. */
export const LAYERS = [
  ['1', 'floor', 'Floor pixels', true],
  ['2', 'props', 'Props by height', true],
  ['3', 'keepouts', 'Keep-outs', false],
  ['4', 'lines', 'Walk lines', true],
  ['5', 'zones', 'In-shot zones', true],
  ['6', 'wedges', 'Camera wedges', false],
  ['7', 'people', 'People', true],
  ['8', 'marks', 'Marks', true],
  ['9', 'cameras', 'Cameras', true],
  ['0', 'grid', 'Grid and ruler', true],
  ['', 'pins', 'Findings', true],
];

const shown = new Set(first());

function first() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT));
    if (Array.isArray(kept)) return kept;
  } catch {
    // A browser that keeps nothing begins anew.
  }
  return LAYERS.filter(([, , , is]) => is).map(([, name]) => name);
}

/** True for a layer that is shown. */
export function isShown(name) {
  return shown.has(name);
}

/** Switches a layer; returns whether it is shown now. */
export function toggle(name) {
  if (!shown.delete(name)) shown.add(name);
  try {
    localStorage.setItem(KEPT, JSON.stringify([...shown]));
  } catch {
    // It is only a comfort.
  }
  apply();
  return shown.has(name);
}

function apply() {
  const plan = byId('plan');
  for (const [, name] of LAYERS) {
    plan.classList.toggle(`no-${name}`, !shown.has(name));
    const box = byId(`layer-${name}`);
    if (box) box.checked = shown.has(name);
  }
  tell('layers', shown);
}

/** Fills the menu of layers. */
export function beginLayers() {
  const rows = LAYERS.map(([digit, name, words]) =>
    el('label', { class: 'tick' },
      el('input', { type: 'checkbox', id: `layer-${name}`, change: () => toggle(name) }),
      el('span', { text: words }),
      digit && el('kbd', { text: digit })));
  put(byId('layer-list'), rows);
  apply();
}
