// Takes README's picture of the page: `node picture.mjs ADDRESS FILE` while `underfoot rehearse` runs.

import { open, until, withBrowser } from './browser.mjs';

await withBrowser(async (browser, address, file) => {
  const { page } = await open(browser, address);
  await page.click('#cue-list [data-cue="2"]');
  const painted = () => page.evaluate(() => [...document.querySelectorAll('.pane.shots img')].every((i) => i.complete && i.naturalWidth > 1));
  await until('every shot is there', painted, true);
  await page.waitForTimeout(2500);
  await page.screenshot({ path: file });
});
