// What the simulated and the attached box show, side by side, and a close look at the first pixel that differs.

import { el, put, set, svg, write } from './dom.js';
import { Newest, show } from './newest.js';
import { count } from './words.js';

/** Pixels of the floor along one side of a close-up. */
const CLOSE = 24;
/** What a frame keeps from what it frames, as a part of the picture's width: on top of a pixel it would hide it. */
const ROOM = 1 / 24;

/** A picture with its words, fetched again when its number is another one; pressed, it opens in its own size. */
function frame(words, address) {
  const image = el('img', { alt: words });
  const mark = svg('rect', { 'vector-effect': 'non-scaling-stroke' });
  const over = svg('svg', { class: 'over', preserveAspectRatio: 'none', 'aria-hidden': 'true', hidden: true }, mark);
  const link = el('a', { target: '_blank', title: `${words}: open in its own size` }, image, over);
  const newest = new Newest((at) => show(image, at));
  let last = null;
  return {
    image,
    root: el('figure', { 'data-picture': words }, link, el('figcaption', { text: words })),
    fill(number) {
      if (number === last) return;
      last = number;
      link.href = address(number);
      newest.wish(link.href);
    },
    /** Frames the pixels from columns and rows on; `null` frames nothing. */
    around(where) {
      over.toggleAttribute('hidden', !where || !image.naturalWidth);
      if (!where || !image.naturalWidth) return;
      set(over, 'viewBox', `0 0 ${image.naturalWidth} ${image.naturalHeight}`);
      const room = Math.max(image.naturalWidth, image.naturalHeight) * ROOM;
      const [[x0, x1], [y0, y1]] = [where.columns, where.rows].map(([a, b]) => [a - room, b + 1 + room]);
      Object.entries({ x: x0, y: y0, width: x1 - x0, height: y1 - y0 }).forEach(([name, value]) => set(mark, name, value));
    },
  };
}

/** The display of both. */
export function displays() {
  const [own, other] = [
    frame('display, simulated', (n) => `/box/display.png?size=small&n=${n}`),
    frame('display, attached', (n) => `/attached/display.png?n=${n}`),
  ];
  const root = el('div', { class: 'pair displays' }, own.root, other.root);
  return {
    root,
    fill(box, attached) {
      own.fill(box.display);
      if (attached.display > 0) other.fill(attached.display);
    },
  };
}

function howMany(differing) {
  if (differing === 0) return 'no pixel differs';
  return `${count(differing, 'pixel')} ${differing === 1 ? 'differs' : 'differ'}`;
}

function span(word, [first, last]) {
  return first === last ? `${word} ${first}` : `${word}s ${first} to ${last}`;
}

/** A part of each picture, pixel by pixel. */
function closeUps(frames) {
  const canvases = frames.map(({ root }) => el('canvas', { width: CLOSE, height: CLOSE, role: 'img', 'aria-label': `${root.dataset.picture}, close` }));
  const root = el('div', { class: 'pair three close', hidden: true }, canvases);
  return {
    root,
    draw(where) {
      root.hidden = !where;
      if (!where) return;
      const [left, top] = where.first.map((at) => Math.max(at - CLOSE / 2, 0));
      canvases.forEach((canvas, i) => {
        const context = canvas.getContext('2d');
        context.clearRect(0, 0, CLOSE, CLOSE);
        if (frames[i].image.naturalWidth) context.drawImage(frames[i].image, left, top, CLOSE, CLOSE, 0, 0, CLOSE, CLOSE);
      });
    },
  };
}

/** One canvas of both, and where they differ. */
export function canvas(name) {
  const at = encodeURIComponent(name);
  const frames = [
    frame('simulated', (n) => `/box/floor/${at}.png?n=${n}`), frame('attached', (n) => `/attached/floor/${at}.png?n=${n}`),
    frame('pixels that differ', (n) => `/attached/differs/${at}.png?n=${n}`),
  ];
  const [words, where, close] = [el('h3'), el('p', { class: 'quiet' }), closeUps(frames)];
  const pictures = el('div', { class: 'pair' });
  const root = el('section', { 'data-canvas': name }, words, pictures, where, close.root);
  let within = null;
  const point = () => {
    frames.forEach((one) => one.around(within));
    close.draw(within);
  };
  frames.forEach(({ image }) => image.addEventListener('load', point));
  return {
    root,
    fill(box, attached) {
      const differing = attached.differing[name];
      within = attached.within[name] ?? null;
      write(words, `${name}: ${howMany(differing)}`);
      write(where, within ? `${span('column', within.columns)}, ${span('row', within.rows)}, framed above; below, pixels around ${within.first.join(', ')}` : '');
      const seen = differing > 0 ? frames : frames.slice(0, 2);
      pictures.classList.toggle('three', differing > 0);
      if (pictures.children.length !== seen.length) put(pictures, seen.map((one) => one.root));
      seen.forEach((one, i) => one.fill(i === 0 ? box.floor : attached.rows));
      point();
    },
  };
}
