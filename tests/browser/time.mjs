// Time of a cue: scrubbed by hand, stepped and played; people walk and the floor's pixels follow.

import { assert, open, pixels, until, withBrowser } from './browser.mjs';

const seconds = async (page) => Number(await page.textContent('#time-now'));

const walker = (page) => page.evaluate(() => {
  const person = document.querySelector('.g-people-tags .person');
  return person?.getAttribute('transform');
});

await withBrowser(async (browser, address) => {
  const { page, faults } = await open(browser, address);
  await page.click('#cue-list [data-cue="5"]');
  const last = await until('the cue stands at its end', () => seconds(page), (s) => s > 1);
  const [there, lit] = [await until('somebody is there', () => walker(page), Boolean), await pixels(page)];

  await page.focus('#time');
  await page.keyboard.press('Home');
  await until('the beginning', () => seconds(page), 0);
  await until('pixels follow the hand', () => pixels(page), (now) => now !== lit);
  await page.focus('#plan');
  await page.keyboard.press('.');
  await until('one step', () => seconds(page), 0.1);

  await page.selectOption('#speed', '0.25');
  await page.focus('#plan');
  let floors = 0;
  let most = 0;
  let flying = 0;
  page.on('request', (request) => request.url().includes('/floor/') && (most = Math.max(most, (flying += 1))));
  const landed = (request) => request.url().includes('/floor/') && ((flying -= 1), (floors += 1));
  page.on('requestfinished', landed);
  page.on('requestfailed', landed);
  await page.keyboard.press('k');
  await until('it plays to the end and stops', () => seconds(page), (s) => Math.abs(s - last) < 0.06);
  await until('it can play again', () => page.getAttribute('#play', 'aria-label'), (words) => words.startsWith('Play'));
  assert.ok(floors >= 2, `${floors} pictures while it played`);
  assert.ok(most <= 1, `${most} requests for one canvas at once`);
  console.log(`${(floors / last / 4).toFixed(1)} pictures a second`);
  assert.ok(there, 'people are on the plan');
  assert.deepEqual(faults, []);
});
