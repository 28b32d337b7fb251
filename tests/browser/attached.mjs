// A box at the other end of a line, beside the simulated one: `node attached.mjs ADDRESS PICTURES PART [BOX…]`.

import { assert, open, until, withBrowser } from './browser.mjs';
import { face, rest, unreadable } from './pages.mjs';

const panel = (page, part) => page.locator(`#attached ${part}`);
const state = (page) => panel(page, '.state').textContent();
const words = (page) => panel(page, 'p[role="status"]').first().textContent();
const at = (page) => panel(page, '.facts dd').allTextContents();
/** A tap, and longer than the lockout after an advance. */
const [TAP_MS, LOCKOUT_MS] = [80, 450];

const SIZES = { desk: { width: 1366, height: 768 }, small: { width: 360, height: 640 } };
let pictures = '';

// Everybody can read it in both schemes and on a phone; its pictures are kept for who looks at them.
async function reading(page, name) {
  const found = [];
  for (const colorScheme of ['light', 'dark']) {
    for (const [size, viewport] of Object.entries(SIZES).reverse()) {
      await page.emulateMedia({ colorScheme });
      await page.setViewportSize(viewport);
      await page.locator('#attached').scrollIntoViewIfNeeded();
      const whole = size === 'small' ? page.locator('#attached') : page;
      await whole.screenshot({ path: `${pictures}/attached-${name}-${size}-${colorScheme}.png` });
      found.push(...(await unreadable(page, `${name} ${size} ${colorScheme}`, '#attached')));
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (wide > 0) found.push(`${name} ${size}: ${wide} px wider than the window`);
    }
  }
  assert.deepEqual(found, []);
}

async function openPanel(browser, address) {
  const opened = await open(browser, address);
  await opened.page.locator('#attached > summary').press('Enter');
  return opened;
}

async function attach(page, to) {
  await page.getByLabel('Where the box is').fill(to);
  await panel(page, 'form button', { hasText: 'Attach' }).first().click();
}

// A key goes down, and comes up once the simulated box says so: its time stands still while its machine is busy.
async function key(page, name, once = () => true) {
  await page.locator(`.key-${name}`).hover();
  await page.mouse.down();
  await page.locator(`.key-${name}.down`).waitFor();
  await rest(page, TAP_MS);
  await face(page, `${name} is held`, once);
  await page.mouse.up();
  await rest(page, LOCKOUT_MS);
}

// Out of OFF as people do it: HOLD until it is armed, let go, GO.
async function leaveOff(page) {
  await key(page, 'hold', ({ gate }) => gate === 'armed');
  await key(page, 'go', ({ mode }) => mode !== 'OFF');
}

/** The pictures of one kind: true when each is there. */
function there(page, name) {
  return page.evaluate((of) => {
    const images = [...document.querySelectorAll(`#attached [data-picture="${of}"] img`)];
    return images.length > 0 && images.every((image) => image.complete && image.naturalWidth > 1);
  }, name);
}

/** Of two pictures: how many pixels differ, and how many of the first are lit; `null` for two sizes, and while one comes. */
function compare(page, names) {
  return page.evaluate((of) => {
    const images = of.map((name) => document.querySelector(`#attached [data-picture="${name}"] img`));
    if (images.some((image) => !image?.complete || image.naturalWidth === 0)) return null;
    const pixels = images.map((image) => {
      const canvas = new OffscreenCanvas(image.naturalWidth, image.naturalHeight);
      canvas.getContext('2d').drawImage(image, 0, 0);
      return new Uint32Array(canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data.buffer);
    });
    if (pixels[0].length !== pixels[1].length) return null;
    const black = new Uint32Array(new Uint8Array([0, 0, 0, 255]).buffer)[0];
    return {
      differ: pixels[0].reduce((sum, pixel, i) => sum + (pixel === pixels[1][i] ? 0 : 1), 0),
      lit: pixels[0].reduce((sum, pixel) => sum + (pixel === black ? 0 : 1), 0),
    };
  }, names);
}

/** Both floors are lit and have the same pixels, and so have both displays. */
async function equal(page) {
  for (const name of ['simulated', 'attached', 'display, simulated', 'display, attached']) {
    await until(`${name} is there`, () => there(page, name), true);
  }
  await until('the same floors', () => compare(page, ['simulated', 'attached']), (saw) => saw?.differ === 0 && saw.lit > 1000);
  const both = await until('two displays', () => compare(page, ['display, simulated', 'display, attached']), (saw) => saw?.lit > 100);
  assert.ok(both.lit > 100);
}

async function bothAt(page, wanted) {
  await until(`both are at ${wanted}`, () => at(page), (saw) => saw.length === 2 && saw.every((one) => one === wanted));
}

async function cues(page, to) {
  await attach(page, to);
  await until('it is dark', () => state(page), 'dark');
  await bothAt(page, 'OFF');
  // Without the tick it is only looked at.
  await leaveOff(page);
  await until('only one is lit', () => at(page), (saw) => saw.join() === 'BRIEF \u00b7 1 BRIEF,OFF');
  assert.match(await panel(page, '.attached').first().textContent(), /differ by right/);
  await key(page, 'off');
  await bothAt(page, 'OFF');

  await panel(page, 'input[type="checkbox"]').click();
  await until('it is attached anew', () => state(page), 'dark');
  await leaveOff(page);
  await bothAt(page, 'BRIEF \u00b7 1 BRIEF');
  await until('it is compared', () => state(page), 'same pixels');
  await equal(page);
  assert.equal(await panel(page, '[data-canvas] h3').textContent(), 'FLOOR: no pixel differs');
  assert.equal(await panel(page, '[data-picture="pixels that differ"]').count(), 0, 'there is none to show');
  await reading(page, 'same');
  for (const cue of ['2 WATCH IN', '3 WALK TO C']) {
    await key(page, 'go');
    await bothAt(page, `STANDBY \u00b7 ${cue}`);
    await until(`${cue} is compared`, () => state(page), 'same pixels');
    // STANDBY moves with each box's own time; what stands still is the same on both.
    await page.getByLabel('Mode that the desk asks of the box').selectOption('brief');
    await bothAt(page, `BRIEF \u00b7 ${cue}`);
    await equal(page);
    await until(`${cue} in BRIEF is compared`, () => state(page), 'same pixels');
    await page.getByLabel('Mode that the desk asks of the box').selectOption('');
    await bothAt(page, `STANDBY \u00b7 ${cue}`);
  }
  await key(page, 'back', ({ now }) => now === 1);
  await bothAt(page, 'STANDBY \u00b7 2 WATCH IN');
  await key(page, 'off');
  await bothAt(page, 'OFF');
  await until('both are dark', () => state(page), 'dark');
  await until('dark pictures', () => compare(page, ['simulated', 'attached']), (saw) => saw?.differ === 0 && saw.lit === 0);
}

async function differs(page, to) {
  await panel(page, 'input[type="checkbox"]').click();
  await attach(page, to);
  await until('it is dark', () => state(page), 'dark');
  await leaveOff(page);
  // A slow line takes its time, and the page says how far it is.
  await until('it is asked', () => words(page), (saw) => /^asking .*row \d+ of 768$/.test(saw));
  await until('it differs', () => state(page), 'DIFFERS');
  for (const name of ['simulated', 'attached', 'pixels that differ']) await until(`${name} is there`, () => there(page, name), true);
  const said = Number(/^FLOOR: (\d+) pixels? differs?$/.exec(await panel(page, '[data-canvas] h3').textContent())?.[1]);
  const flagged = await until('all are flagged', () => compare(page, ['pixels that differ', 'attached']), (saw) => saw?.lit === said);
  const floors = await until('the floors differ by them', () => compare(page, ['simulated', 'attached']), (saw) => saw?.differ === said);
  assert.match(await panel(page, '[data-canvas] p').textContent(), /rows 300 to 303/);
  assert.equal(await panel(page, '.over:not([hidden])').count(), 3, 'each picture has its frame');
  assert.equal(await panel(page, '.close canvas:visible').count(), 3, 'and its close-up');
  await reading(page, 'differs');
  console.log(said, flagged.lit, floors.differ);
  await detach(page);
}

async function detach(page) {
  await panel(page, 'form button').last().click();
  await until('none is attached', () => state(page), 'none attached');
  assert.equal(await panel(page, 'img').count(), 0, 'and none is shown');
}

async function silent(page) {
  await until('it is silent', () => state(page), 'silent');
  await until('with a remedy', () => words(page), (saw) => /start the box/.test(saw));
  await reading(page, 'silent');
  await detach(page);
}

async function wrong(page, gone, mute, old, newer, other, none) {
  await attach(page, 'the box');
  await until('an address that is none', () => panel(page, '.said').textContent(), (saw) => /is no box: write udp:/.test(saw));
  const rows = [
    [gone, 'silent', /nothing takes calls at tcp:.*start the box/], [mute, 'silent', /no box answers: is it on/],
    [old, 'other version', /update the box/], [newer, 'other version', /update the desk/],
    [other, 'other show', /the box has show \w+, this page \w+.*underfoot send/], [none, 'other show', /the box has no show.*underfoot send/],
  ];
  for (const [to, wanted, remedy] of rows) {
    await attach(page, to);
    await until(`${to} is called`, () => words(page), (saw) => saw.includes('calling') || remedy.test(saw));
    await until(`${to} is told`, () => state(page), wanted);
    await until(`${to} has a remedy`, () => words(page), (saw) => remedy.test(saw));
    if (to === other) await reading(page, 'other-show');
  }
}

// The box that was without a show has got one meanwhile.
async function again(page, to) {
  await until('it is there', () => page.getByLabel('Where the box is').inputValue(), to);
  await until('it is dark', () => state(page), 'dark');
  await bothAt(page, 'OFF');
}

async function image(page, to) {
  await panel(page, 'input[type="checkbox"]').click();
  await attach(page, to);
  await until('it is dark', () => state(page), 'dark');
  await leaveOff(page);
  await bothAt(page, 'BRIEF \u00b7 1 BRIEF');
  await until('it is compared', () => state(page), 'same pixels');
  await equal(page);
  await detach(page);
}

const PARTS = { cues, differs, silent, wrong, again, image };

await withBrowser(async (browser, address, folder, part, ...boxes) => {
  pictures = folder;
  const { page, faults } = await openPanel(browser, address);
  await PARTS[part](page, ...boxes);
  assert.deepEqual(faults, []);
});
