// What people read off marks and signs, as eyes without one kind of cone see it, and in grey: shapes keep them apart.
//
// Matrices: Machado, Oliveira & Fernandes 2009 (IEEE TVCG 15(6)), severity 1.0, on linear RGB; sRGB by IEC 61966-2-1;
// grey is relative luminance (WCAG 2.2); lightness is CIE 1976 L*.

import { assert, withBrowser } from './browser.mjs';
import { openAt } from './pages.mjs';

const EYES = {
  typical: [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
  grey: [[0.2126, 0.7152, 0.0722], [0.2126, 0.7152, 0.0722], [0.2126, 0.7152, 0.0722]],
};
/** A pixel belongs to the form from half of the brightest one's light on; that one stands out from its plate so far. */
const [LIT, SEEN] = [0.5, 2];
/** Two forms are two when a tenth of what either lights, the other does not. It is our own measure, not a standard's. */
const APART = 0.1;
/** "Arrived" is "steady" at 30 % of its light: the same form by design, so that lightness must tell them. */
const LIGHTNESS_APART = 15;

const linear = (v) => (v <= 0.04045 * 255 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
const clamp = (v) => Math.min(Math.max(v, 0), 1);

/** Relative luminance of every pixel, as those eyes have it. */
function luminances({ data }, eyes) {
  const out = new Float64Array(data.length / 4);
  for (let i = 0; i < out.length; i += 1) {
    const rgb = [0, 1, 2].map((channel) => linear(data[i * 4 + channel]));
    const [r, g, b] = eyes.map((row) => clamp(row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2]));
    out[i] = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  }
  return out;
}

// What is behind a sign is the darkest there is: both pages are looked at in the dark scheme.
function mask(picture) {
  const [plate, bright] = picture.reduce(([least, most], y) => [Math.min(least, y), Math.max(most, y)], [1, 0]);
  const contrast = (bright + 0.05) / (plate + 0.05);
  return { contrast, lit: picture.map((y) => (y - plate >= LIT * (bright - plate) ? 1 : 0)) };
}

/** Share of all lit pixels that only one of two lights. */
function differ(a, b) {
  let [only, either] = [0, 0];
  a.forEach((lit, i) => {
    only += lit !== b[i] ? 1 : 0;
    either += lit || b[i] ? 1 : 0;
  });
  return only / either;
}

function lightness(picture, lit) {
  const of = [...picture].filter((_, i) => lit[i]);
  const y = of.reduce((a, b) => a + b, 0) / of.length;
  return y > 216 / 24389 ? 116 * Math.cbrt(y) - 16 : (24389 / 27) * y;
}

/** What elements look like on the screen, pixel by pixel: out of one picture of the page. */
async function shots(page, selector) {
  const png = (await page.screenshot({ fullPage: true })).toString('base64');
  const all = await page.evaluate(async ([text, which]) => {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
    const brush = canvas.getContext('2d');
    brush.drawImage(bitmap, 0, 0);
    return [...document.querySelectorAll(which)].map((node) => {
      const { x, y, width, height } = node.getBoundingClientRect();
      const [left, top, wide, high] = [x + scrollX, y + scrollY, width, height].map((px) => Math.round(px * devicePixelRatio));
      const { data } = brush.getImageData(left, top, wide, high);
      return btoa(data.reduce((words, byte) => words + String.fromCharCode(byte), ''));
    });
  }, [png, selector]);
  return all.map((text) => ({ data: Buffer.from(text, 'base64') }));
}

// Every state of every person's mark, as the page draws it.
async function marks(page) {
  const names = await page.evaluate(async () => {
    const { STATES, markPicture } = await import('/page/talent-signs.js');
    const whose = ['white-circle', 'amber-square', 'cyan-triangle', 'magenta-diamond'];
    const all = whose.flatMap((who) => STATES.map(([state]) => [who, state]));
    // Before everything else, where nothing that comes later moves them.
    const list = document.createElement('ul');
    [list.id, list.className] = ['all-marks', 'plain sign-list'];
    list.append(...all.map(([who, state]) => markPicture(who, state)));
    document.body.prepend(list);
    return all.map(([who, state]) => `${who} ${state}`);
  });
  const pictures = await shots(page, '#all-marks .mark-picture');
  return Object.fromEntries(names.map((name, i) => [name, pictures[i]]));
}

// The signs beside words: who, and how much it matters.
async function signs(page) {
  await page.keyboard.press('?');
  const names = await page.locator('#help .sign').evaluateAll((all) => all.map((one) => one.getAttribute('class')));
  const pictures = await shots(page, '#help .sign');
  return Object.fromEntries(names.map((name, i) => [name, pictures[i]]));
}

const isSameForm = (a, b) => {
  const [[who, one], [other, two]] = [a, b].map((name) => [name.slice(0, name.indexOf(' ')), name.slice(name.indexOf(' ') + 1)]);
  return who === other && [one, two].sort().join() === 'arrived,steady';
};

function pairs(pictures, eyes) {
  const seen = Object.entries(pictures).map(([name, picture]) => {
    const light = luminances(picture, EYES[eyes]);
    return { name, light, ...mask(light) };
  });
  let closest = { by: 1 };
  for (const [i, a] of seen.entries()) {
    assert.ok(a.contrast >= SEEN, `${a.name} stands out, ${eyes}: ${a.contrast.toFixed(2)}`);
    for (const b of seen.slice(i + 1)) {
      const by = differ(a.lit, b.lit);
      if (isSameForm(a.name, b.name)) {
        const apart = Math.abs(lightness(a.light, a.lit) - lightness(b.light, b.lit));
        assert.ok(apart >= LIGHTNESS_APART, `${a.name} and ${b.name}, ${eyes}: ${apart.toFixed(1)} L*`);
        continue;
      }
      assert.ok(by >= APART, `${a.name} and ${b.name}, ${eyes}: only ${(by * 100).toFixed(1)} % differ`);
      if (by < closest.by) closest = { by, names: `${a.name} and ${b.name}` };
    }
  }
  return closest;
}

function report(what, pictures) {
  for (const eyes of Object.keys(EYES)) {
    const { by, names } = pairs(pictures, eyes);
    console.log(`${what}, ${eyes}: closest are ${names}, ${(by * 100).toFixed(0)} % differ`);
  }
}

await withBrowser(async (browser, address, pictures) => {
  const settings = { viewport: { width: 1024, height: 900 }, deviceScaleFactor: 2 };
  const { page } = await openAt(browser, address, '/talent', '.person', settings);
  const found = await marks(page);
  assert.equal(Object.keys(found).length, 24, 'six states of four people');
  await page.locator('#all-marks').screenshot({ path: `${pictures}/signs.png` });
  report('marks', found);
  const main = await openAt(browser, address, '/', '#cue-list .cue', settings);
  report('signs', await signs(main.page));
});
