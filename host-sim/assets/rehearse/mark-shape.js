// Marks as they lie on the floor, in stage metres.

import { line, toward } from './draw.js';

/** The bar of a T and its distance ahead of the heels, the stem; width and depth of a wheelchair's bracket. */
const [BAR_M, AHEAD_M, STEM_M] = [0.3, 0.15, 0.25];
const [WIDE_M, DEEP_M] = [0.8, 1.3];
const [ARM_M, SIDES] = [0.15, 24];

const SHAPES = {
  tee: (at) => [[at(AHEAD_M, BAR_M / 2), at(AHEAD_M, -BAR_M / 2)], [at(AHEAD_M, 0), at(AHEAD_M - STEM_M, 0)]],
  cross: (at) => [[at(ARM_M, ARM_M), at(-ARM_M, -ARM_M)], [at(ARM_M, -ARM_M), at(-ARM_M, ARM_M)]],
  // Open at the back: that is where one comes in.
  bracket: (at) => [[
    at(-DEEP_M / 2, WIDE_M / 2), at(DEEP_M / 2, WIDE_M / 2), at(DEEP_M / 2, -WIDE_M / 2), at(-DEEP_M / 2, -WIDE_M / 2),
  ]],
  ring: (at) => [Array.from({ length: SIDES + 1 }, (_, i) => {
    const angle = (i / SIDES) * 2 * Math.PI;
    return at(ARM_M * Math.cos(angle), ARM_M * Math.sin(angle));
  })],
};

/** The path of a mark of a kind at a place that faces a way. */
export function markPath({ kind, at: [x, y], facing_deg: facing }) {
  const [fx, fy] = toward(facing);
  const at = (ahead, aside) => [x + fx * ahead - fy * aside, y + fy * ahead + fx * aside];
  return (SHAPES[kind] ?? SHAPES.tee)(at).map(line).join('');
}
