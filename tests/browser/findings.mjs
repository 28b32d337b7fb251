// A finding leads to what it is about.

import { assert, json, open, until, withBrowser } from './browser.mjs';

await withBrowser(async (browser, address) => {
  const { page, faults } = await open(browser, address);
  await page.locator('#finding-list .finding').first().waitFor();
  const shown = page.locator('.finding', { hasText: 'is run into by PENDULUM' }).first();
  await shown.click();
  const show = await json(page, '/api/show');
  const cue = show.cues.findIndex(({ number }) => number === '4');
  await until('its cue', () => page.getAttribute(`#cue-list [data-cue="${cue}"]`, 'aria-current'), 'true');
  await until('its moment', async () => Number(await page.textContent('#time-now')), (s) => s > 0.2 && s < 0.4);
  await until('its pin is picked', () => page.locator('.pin.picked').count(), 1);
  const box = await page.locator('#plan').boundingBox();
  const pin = await page.locator('.pin.picked .stem').boundingBox();
  assert.ok(Math.abs(pin.x + pin.width / 2 - (box.x + box.width / 2)) < 4, 'its place is in the middle');

  const painted = page.locator('.finding', { hasText: 'is painted over by GEAR' }).first();
  await painted.click();
  await page.locator('.shot.picked[data-shot="3-LOW"]').waitFor();

  await page.check('#only-cue');
  const groups = await page.locator('#finding-list h3').allTextContents();
  assert.ok(groups.every((title) => title === 'Whole show' || title.startsWith('Cue 4 ')), groups.join());
  assert.deepEqual(faults, []);
});
