// Whether everybody can read the page: axe-core in both schemes, large and small, and pictures for people to look at.

import fs from 'node:fs';
import { createRequire } from 'node:module';
import { assert, choose, open, until, withBrowser } from './browser.mjs';

const AXE = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const SIZES = {
  desk: { width: 1366, height: 768 },
  tablet: { width: 1024, height: 768 },
  phone: { width: 390, height: 844 },
  small: { width: 360, height: 640 },
};

async function faultsOf(page, what) {
  await page.evaluate(AXE);
  const { violations } = await page.evaluate(() => window.axe.run(document));
  const grave = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
  return grave.map(({ id, nodes }) => `${what}: ${id} at ${nodes.map(({ target }) => target.join(' ')).join(', ')}`);
}

// Nothing is wider than the window.
async function overflow(page, what) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  return wide > 0 ? [`${what}: ${wide} px wider than the window`] : [];
}

async function look(browser, address, scheme, [size, viewport], pictures) {
  const settings = { viewport, colorScheme: scheme, hasTouch: size !== 'desk' };
  const { page, faults, context } = await open(browser, address, settings);
  const what = `${size}-${scheme}`;
  await page.click('#cue-list [data-cue="5"]');
  await page.locator('.shot-words li').first().waitFor();
  await page.locator('#finding-list .finding').first().waitFor();
  await choose(page, 'WATCH');
  await page.screenshot({ path: `${pictures}/${what}.png`, fullPage: size !== 'desk' });
  const found = [...(await faultsOf(page, what)), ...(await overflow(page, what))];
  await page.keyboard.press('?');
  await until('the help opens', () => page.locator('#help').evaluate((dialog) => dialog.open), true);
  found.push(...(await faultsOf(page, `${what} help`)), ...faults);
  await page.screenshot({ path: `${pictures}/${what}-help.png` });
  await page.keyboard.press('Escape');
  if (size === 'desk') await closer(page, `${pictures}/${what}`);
  await context.close();
  return found;
}

async function closer(page, name) {
  await page.keyboard.press('f');
  for (let n = 0; n < 6; n += 1) await page.keyboard.press('+');
  await page.screenshot({ path: `${name}-near.png` });
  await page.keyboard.press('a');
  await page.screenshot({ path: `${name}-all.png` });
  await page.locator('.shot-picture').first().click();
  await page.locator('#large-words li').first().waitFor();
  await page.screenshot({ path: `${name}-shot.png` });
}

await withBrowser(async (browser, address, pictures) => {
  const found = [];
  for (const scheme of ['dark', 'light']) {
    for (const size of Object.entries(SIZES)) found.push(...(await look(browser, address, scheme, size, pictures)));
  }
  assert.deepEqual(found, []);
});
