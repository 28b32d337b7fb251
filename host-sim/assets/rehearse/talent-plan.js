// The floor from above as the people on it have it: the front at the top, so that their left is left.

import { byId, put, svg, write } from './dom.js';
import { line, loops, toward } from './draw.js';
import { Newest, picture } from './newest.js';
import { shape } from './signs.js';
import { stage } from './stage.js';
import { told } from './live.js';
import { placeIn, whoWords } from './talent-words.js';
import { place as placeWords } from './words.js';

const MARGIN_M = 0.45;
let pixels = [];
let frame = null;
let last = '';

const fetching = new Newest(async (addresses) => {
  pixels = await Promise.all(addresses.map((address) => picture(address).catch(() => null)));
  paint();
});

function floorOf({ live, cue, t_s: t, mode }) {
  const at = ({ name }) => encodeURIComponent(name);
  const { canvases, revision } = stage.show;
  if (live && told.box) return canvases.map((one) => `/box/floor/${at(one)}.png?n=${told.box.floor}`);
  if (cue === null) return [];
  return canvases.map((one) => `/floor/${at(one)}.png?cue=${cue}&t=${t.toFixed(1)}${mode ? `&mode=${mode}` : ''}&rev=${revision}`);
}

// Stage metres to pixels: the front is up, and stage left is left.
function fit() {
  const box = byId('map');
  const [xs, ys] = [0, 1].map((axis) => stage.show.floor.outline.map((point) => point[axis]));
  const span = (all) => [Math.min(...all) - MARGIN_M, Math.max(...all) + MARGIN_M];
  const [[x0, x1], [y0, y1]] = [span(xs), span(ys)];
  const wide = box.clientWidth || 320;
  const scale = wide / (x1 - x0);
  const high = Math.round(Math.min((y1 - y0) * scale, 900));
  box.style.height = `${high}px`;
  frame = { scale, wide, high, x: wide / 2 + ((x0 + x1) / 2) * scale, y: high / 2 - ((y0 + y1) / 2) * scale };
}

function paint() {
  if (!frame) return;
  const canvas = byId('map-floor');
  const ratio = devicePixelRatio || 1;
  [canvas.width, canvas.height] = [frame.wide * ratio, frame.high * ratio];
  const brush = canvas.getContext('2d');
  for (const { canvas: index, x, y, w, h, map: [a, b, c, d, e, f] } of stage.show.blocks) {
    const s = frame.scale * ratio;
    brush.setTransform(-s * a, s * d, -s * b, s * e, frame.x * ratio - s * c, frame.y * ratio + s * f);
    brush.imageSmoothingQuality = 'high';
    brush.fillStyle = '#0b0c0e';
    if (pixels[index]) brush.drawImage(pixels[index], x, y, w, h, x, y, w, h);
    else brush.fillRect(x, y, w, h);
  }
}

function at([x, y]) {
  return [frame.x - x * frame.scale, frame.y + y * frame.scale];
}

function badge(point, who, size, words) {
  const [x, y] = at(point);
  const d = { d: shape(who), 'fill-rule': 'evenodd', transform: `scale(${size / 16}) translate(-8 -8)` };
  return svg('g', { class: `badge ${who}`, transform: `translate(${x.toFixed(1)} ${y.toFixed(1)})` },
    svg('path', { ...d, class: 'key' }), svg('path', { ...d, class: 'face' }), words && svg('text', { y: size / 2 + 14, text: words }));
}

function me(name) {
  const there = stage.moment?.people.find((one) => one.name === name);
  if (!there) return [];
  const [x, y] = at(there.at);
  const [fx, fy] = toward(there.facing_deg);
  const tip = [x - fx * 34, y + fy * 34];
  return [
    svg('circle', { cx: x, cy: y, r: 19, class: 'here' }), svg('path', { d: `M${x - fx * 19} ${y + fy * 19}L${tip[0]} ${tip[1]}`, class: 'nose' }),
    badge(there.at, there.who, 22, 'YOU'),
  ];
}

function ways(name, cue) {
  const { show } = stage;
  const mine = placeIn(show, cue, name);
  const path = show.lines.find((one) => one.name === mine?.line);
  const mark = show.marks.find((one) => one.name === mine?.mark);
  const [x, y] = mark ? at(mark.at) : [0, 0];
  const who = show.people.find((one) => one.name === name)?.who;
  return [
    path && svg('path', { d: line(path.points.map(at)), class: `walk ${who}` }),
    mark && svg('circle', { cx: x, cy: y, r: 26, class: `goal ${who}` }),
    mark && svg('text', { x, y: y - 33, text: mark.name, class: 'goal-name' }),
  ];
}

function props() {
  const there = (stage.moment?.props ?? []).filter(({ life }) => life !== 'gone');
  return there.flatMap((prop) => prop.outlines.filter(({ band }) => band !== 'overhead').map(({ band, loops: all }) =>
    svg('path', { d: loops(all.map((loop) => loop.map(at))), class: `prop ${band}` }, svg('title', { text: prop.name }))));
}

function sides() {
  if (stage.show.naming?.places !== 'stage') return [];
  const { wide, high } = frame;
  const text = (x, y, words) => svg('text', { x, y, class: 'side', text: words });
  return [text(wide / 2, 15, 'FRONT \u00b7 DS'), text(wide / 2, high - 7, 'BACK \u00b7 US'), text(22, high / 2, 'SL'), text(wide - 22, high / 2, 'SR')];
}

function words(name) {
  const there = stage.moment?.people.find((one) => one.name === name);
  const others = (stage.moment?.people ?? []).filter((one) => one.name !== name).map((one) => `${one.name}, ${whoWords(one.who)}, ${placeWords(one.at)}`);
  const mine = there ? `You are ${placeWords(there.at)}.` : 'You are not on the floor now.';
  return others.length ? `${mine} Others: ${others.join('; ')}.` : mine;
}

/** Shows the floor from above at a moment. */
export function showPlan(name, look) {
  if (!stage.show || !byId('map').clientWidth) return;
  fit();
  const addresses = floorOf(look);
  if (addresses.join() !== last) fetching.wish(addresses);
  last = addresses.join();
  paint();
  const others = (stage.moment?.people ?? []).filter((one) => one.name !== name).map((one) => badge(one.at, one.who, 16, one.name));
  const edge = svg('path', { d: loops([stage.show.floor.outline.map(at)]), class: 'floor-edge' });
  put(byId('map-lines'), edge, props(), ways(name, look.cue), others, me(name), sides());
  write(byId('map-words'), words(name));
}

/** Lets go of what was fetched: the next plan is another one. */
export function forgetPlan() {
  last = '';
}
