// By hand: a mark is dragged, a drag is given up, somebody is put where they may have to stand, and the mark follows.

import { assert, json, open, until, withBrowser } from './browser.mjs';

const BY_PX = 60;

async function middle(page, kind, words) {
  const tag = page.locator(`.${kind}`, { has: page.locator(`text="${words}"`) }).first();
  const [, x, y] = (await tag.getAttribute('transform')).match(/translate\(([-\d.]+) ([-\d.]+)\)/);
  const box = await page.locator('#plan').boundingBox();
  return [box.x + Number(x), box.y + Number(y)];
}

async function drag(page, [x, y], drop) {
  await page.mouse.move(x, y);
  await page.mouse.down();
  await page.mouse.move(x + BY_PX / 2, y, { steps: 3 });
  await page.mouse.move(x + BY_PX, y, { steps: 3 });
  await page.locator('.g-ghost .ghost').first().waitFor();
  await drop();
  await page.mouse.up();
}

const markOf = async (page, name) => (await json(page, '/api/show')).marks.find((mark) => mark.name === name).at;

await withBrowser(async (browser, address) => {
  const { page, faults } = await open(browser, address);
  await page.click('#cue-list [data-cue="5"]');
  await page.locator('.g-people-tags .person').first().waitFor();
  const before = await markOf(page, 'C2');
  await drag(page, await middle(page, 'mark-tag', 'C2'), () => page.keyboard.press('Escape'));
  await until('a drag given up leaves no ghost', () => page.locator('.g-ghost .ghost').count(), 0);
  assert.deepEqual(await markOf(page, 'C2'), before);

  await drag(page, await middle(page, 'mark-tag', 'C2'), async () => {});
  const [x, y] = await until('the mark is moved', () => markOf(page, 'C2'), ([now]) => now > before[0] + 0.1);
  assert.ok(Math.abs(y - before[1]) < 0.011, `along one axis, and y went to ${y}`);
  await until('it is chosen, and its figures are those', () => page.inputValue('#thing-x'), String(x));

  // What if the Presenter stood elsewhere? The box goes to this cue first.
  await page.click('#begin');
  await until('the box is there', () => page.getAttribute('#cue-list [data-state="NOW"]', 'data-cue'), '5');
  const a = await markOf(page, 'A');
  await drag(page, await middle(page, 'person', 'Presenter'), async () => {});
  await page.locator('#thing-offer button', { hasText: 'Move mark A here' }).click();
  await until('the mark comes along', () => markOf(page, 'A'), ([now]) => now > a[0] + 0.1);
  await page.locator('#thing-offer button', { hasText: 'As planned' }).click();
  await until('as planned', () => page.locator('#thing-offer button').count(), 0);
  assert.deepEqual(faults, []);
});
