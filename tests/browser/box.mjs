// The box's keys by pointer and by keyboard: out of OFF with HOLD, then GO, as its display asks.

import { assert, open, until, withBrowser } from './browser.mjs';

const mode = (page) => page.locator('.box .facts dd').first().textContent();

await withBrowser(async (browser, address) => {
  const { page, faults } = await open(browser, address);
  await until('it wakes in OFF', () => mode(page), 'OFF');
  const alt = await page.getAttribute('.display', 'alt');
  assert.match(alt, /OFF/, 'the display is told in words');

  const hold = await page.locator('.key-hold').boundingBox();
  await page.mouse.move(hold.x + 10, hold.y + 10);
  await page.mouse.down();
  await page.locator('.key-hold.down').waitFor();
  await until('it is armed', () => page.getAttribute('.display', 'alt'), (words) => words.includes('press GO'));
  await page.mouse.up();
  await until('it is up', () => page.locator('.key-hold.down').count(), 0);
  await page.focus('.key-go');
  await page.keyboard.press('Space');
  await until('GO lights the floor', () => mode(page), (words) => words !== 'OFF');
  await page.locator('#cue-list [data-state="NOW"]').waitFor();

  await page.keyboard.press('o');
  await until('OFF by its letter', () => mode(page), 'OFF');
  assert.deepEqual(faults, []);
});
