// What the README tells a newcomer to try, in its order and by what is written on the page: from opening it to a changed file.

import fs from 'node:fs';
import path from 'node:path';
import { assert, open, pixels, until, withBrowser } from './browser.mjs';

const finding = (page) => page.locator('#finding-list .finding', { hasText: 'leads through WATCH' });
const of = (page, name) => page.locator(`.person:has-text("${name}")`).first().getAttribute('transform');

async function walkThrough(page) {
  await page.getByRole('button', { name: /^3 / }).first().click();
  const button = page.getByRole('button', { name: /^Play/ });
  await button.click();
  const places = new Set();
  await until('the presenter walks', async () => places.add(await of(page, 'Presenter')).size, (many) => many >= 4);
}

async function takeAway(page) {
  await finding(page).first().click();
  assert.match(await page.inputValue('#thing-list'), /WATCH$/, 'the finding takes WATCH in hand');
  await page.focus('#plan');
  let steps = 0;
  // Until it is gone; the checks answer meanwhile.
  for (; steps < 60 && (await finding(page).count()) > 0; steps += 1) {
    await page.keyboard.press('ArrowUp');
    await page.waitForTimeout(200);
  }
  await until('it is gone', () => finding(page).count(), 0);
  return steps;
}

async function lightUp(page) {
  const hold = await page.locator('.key-hold').boundingBox();
  await page.mouse.move(hold.x + hold.width / 2, hold.y + hold.height / 2);
  await page.mouse.down();
  await until('HOLD has ticked', () => page.getAttribute('.display', 'alt'), (words) => words.includes('press GO'));
  await page.mouse.up();
  const dark = await pixels(page);
  await page.locator('.key-go').click();
  await until('GO lights the floor', () => page.locator('#cue-list [data-state="NOW"]').count(), 1);
  await until('its pixels are on the plan', () => pixels(page), (now) => now !== dark);
}

await withBrowser(async (browser, address, folder) => {
  const { page, faults } = await open(browser, address);
  await until('findings', () => page.locator('#finding-list .what').count(), (many) => many > 0);
  await walkThrough(page);
  const steps = await takeAway(page);
  await lightUp(page);
  await page.getByRole('button', { name: 'Keep' }).first().click();
  await page.fill('#keep-name', 'mine.toml');
  await page.keyboard.press('Enter');
  await until('it is kept', () => page.getAttribute('#kept', 'data-unkept'), 'false');
  const kept = fs.readFileSync(path.join(folder, 'mine.toml'), 'utf8');
  console.log(`${steps} steps of WATCH; ${kept.match(/name = "WATCH"\n(at = .*)/)[1]}`);
  assert.doesNotMatch(kept, /name = "WATCH"\nat = \[0\.15, -0\.35\]/, 'WATCH stands elsewhere');
  assert.deepEqual(faults, []);
});
