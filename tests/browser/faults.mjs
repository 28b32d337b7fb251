// Pulling things out of the stage on the main page, with what follows by the box's own fault table.

import { assert, until, withBrowser } from './browser.mjs';
import { ask, face, openAt, told, unreadable } from './pages.mjs';

const DESK = { viewport: { width: 1366, height: 900 } };
/** Buttons to what is told of each: in order, and pulled out. */
const PULLS = [
  ['Stop contact', 'stop', [false, true]], ['Camera tracking', 'tracking', [false, true]], ['Graphics', 'graphics', [false, true]],
  ['Desk and all by it', 'desk', [false, true]], ['Timecode', 'timecode', [false, true]], ['Presence', 'presence', [false, true]],
];

const button = (page, name) => page.locator(`[data-pull="${name}"]`);

async function openPanel(browser, address, settings = {}) {
  const opened = await openAt(browser, address, '/', '#cue-list .cue', { ...DESK, ...settings });
  await opened.page.locator('#pulls > summary').press('Enter');
  await opened.page.locator('.pull-list li').first().waitFor();
  return opened;
}

async function pullAndPutBack(page) {
  for (const [name, field, [fine, out]] of PULLS) {
    for (const wanted of [out, fine]) {
      await button(page, name).focus();
      await page.keyboard.press('Enter');
      await until(`${name} is told`, async () => (await told(page, 'box')).pulled[field], wanted);
      await until(`${name} keeps the focus`, () => page.evaluate(() => document.activeElement?.dataset?.pull), name);
    }
  }
  for (const [what, field] of [['Cable', 'cable'], ['Power', 'power']]) {
    const name = await page.locator(`[data-pull^="${what} of"]`).first().getAttribute('data-pull');
    for (const wanted of [false, true]) {
      await button(page, name).click();
      await until(`${name} is told`, async () => (await told(page, 'box')).seats[0][field], wanted);
    }
  }
}

// What the table says is what the box says, and what it does: a cut wire is AIR while it lasts.
async function light(page) {
  assert.ok(await page.locator('#no-light').isHidden(), 'this show has an on-air light');
  assert.equal(await ask(page, 'begin', { cue: 0 }), null);
  // Until the light's wire has settled the box takes it for lost: AIR.
  const lit = await face(page, 'it begins lit', ({ gate, now, mode, faults }) => gate === 'open' && now === 0 && mode === 'BRIEF' && faults.length === 0);
  // The mark follows what the boxes say, so that it may lag behind the click.
  await page.getByLabel('wire cut').click();
  await until('the wire is out', async () => (await told(page, 'box')).pulled.on_air, null);
  await face(page, 'a cut wire is AIR', ({ mode, faults }) => mode === 'AIR' && faults.includes('TALLY'));
  const row = page.locator('.fault-table tr', { hasText: 'TALLY' });
  await until('its row is marked', () => row.getAttribute('class'), 'now');
  const { table } = await told(page, 'box');
  const of = table.find(({ fault }) => fault === 'TALLY');
  await until('and says what follows', () => row.locator('td').textContent(), of.then.find(([mode]) => mode === 'AIR')[1]);
  assert.match(await page.locator('.log li').first().textContent(), /TALLY/, 'the newest comes first in the log');
  await page.getByLabel('dark', { exact: true }).click();
  await face(page, 'it comes back', ({ mode, faults }) => mode === lit.mode && faults.length === 0);
}

// A table that is drawn has a row for every fault, in the mode of now.
async function table(page) {
  const box = await told(page, 'box');
  const words = (all) => all.map((row) => ['th span', 'td'].map((part) => row.querySelector(part).textContent));
  const rows = await page.locator('.fault-table tbody tr').evaluateAll(words);
  assert.deepEqual(rows, box.table.map(({ fault, then }) => [fault, then.find(([mode]) => mode === box.face.mode)[1]]));
}

async function onlyTheDriver(browser, address) {
  const { page, context } = await openPanel(browser, address);
  await page.locator('.faults .why:visible').waitFor();
  assert.match(await page.textContent('.faults .why'), /drives/);
  assert.equal(await page.locator('#pulls-body button:enabled, #pulls-body input:enabled, #pulls-body select:enabled').count(), 0);
  await context.close();
}

async function reading(browser, address, pictures) {
  const found = [];
  const sizes = { desk: DESK.viewport, small: { width: 360, height: 640 } };
  for (const colorScheme of ['dark', 'light']) {
    for (const [size, viewport] of Object.entries(sizes)) {
      const { page, context } = await openPanel(browser, address, { viewport, colorScheme });
      await page.locator('#pulls').scrollIntoViewIfNeeded();
      await page.screenshot({ path: `${pictures}/faults-${size}-${colorScheme}.png`, fullPage: size === 'small' });
      found.push(...(await unreadable(page, `faults ${size} ${colorScheme}`, '#pulls')));
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (wide > 0) found.push(`${size}: ${wide} px wider than the window`);
      await context.close();
    }
  }
  assert.deepEqual(found, []);
}

await withBrowser(async (browser, wired, unwired, pictures) => {
  const { page, faults, context } = await openPanel(browser, wired);
  await onlyTheDriver(browser, wired);
  await light(page);
  await table(page);
  await pullAndPutBack(page);
  assert.deepEqual(faults, []);
  await context.close();
  const plain = await openPanel(browser, unwired);
  await plain.page.locator('#no-light').waitFor();
  await button(plain.page, 'Camera tracking').click();
  assert.equal(await ask(plain.page, 'begin', { cue: 3 }), null);
  await face(plain.page, 'it begins lit', ({ now }) => now === 3);
  await plain.context.close();
  await reading(browser, unwired, pictures);
});
