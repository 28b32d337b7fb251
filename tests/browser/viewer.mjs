// Who came with the key to look sees what the driver does, points and remarks, and can change nothing.

import { assert, choose, open, until, withBrowser } from './browser.mjs';

const looksAt = (page) => page.getAttribute('#cue-list [aria-current]', 'data-cue');

await withBrowser(async (browser, drive, _other, view) => {
  const driver = await open(browser, drive);
  const viewer = await open(browser, view);
  await driver.page.click('#cue-list [data-cue="3"]');
  await until('the viewer goes along', () => looksAt(viewer.page), '3');

  const { page } = viewer;
  assert.ok(await page.isDisabled('#drive'));
  assert.ok(await page.isDisabled('#keep'));
  await choose(page, 'WATCH');
  assert.ok(await page.isDisabled('#thing-x'));
  assert.match(await page.textContent('#thing-why'), /look only: .* drives/);
  await page.keyboard.press('ArrowRight');
  await until('it says why not', () => page.textContent('#thing-said'), (words) => /Not moved: .* drives/.test(words));
  assert.ok(await page.locator('.key-go').isDisabled());
  assert.match(await page.textContent('.box .why'), /Keys are off: .* drives/);

  await page.keyboard.press('p');
  await driver.page.locator('.said-ring').waitFor();
  await until('the ring goes', () => driver.page.locator('.said-ring').count(), 0);
  await page.fill('#remark', 'Could it stand farther upstage?');
  await page.keyboard.press('Enter');
  await driver.page.locator('#remark-list', { hasText: 'farther upstage' }).waitFor();

  await page.click('#cue-list [data-cue="1"]');
  await until('one\u2019s own look', () => page.textContent('#whose'), 'your own look');
  assert.equal(await looksAt(driver.page), '3');
  await page.click('#follow');
  await until('and back', () => looksAt(page), '3');

  await driver.page.click('#drive');
  await until('nobody drives', () => driver.page.textContent('#drive'), 'Drive');
  assert.deepEqual([...driver.faults, ...viewer.faults], []);
});
