// How long somebody waits at the page: from a key to new findings on the screen.

import { choose, open, until, withBrowser } from './browser.mjs';

const EDITS = 16;

/** Least, median, most. */
function spread(times) {
  const all = [...times].sort((a, b) => a - b);
  return [all[0], all[all.length >> 1], all.at(-1)].map(Math.round).join(' / ');
}

async function listen(page) {
  await page.evaluate(() => {
    window.heard = { of: 0, state: '' };
    window.addEventListener('keydown', () => (window.pressed = performance.now()), true);
    const socket = new WebSocket(`ws://${location.host}/live`);
    socket.onmessage = ({ data }) => {
      const told = JSON.parse(data);
      if (told.told !== 'findings') return;
      requestAnimationFrame(() => setTimeout(() => (window.heard = { of: told.of, state: told.state, at: performance.now() })));
    };
  });
}

const settled = (page) => until('checks end', () => page.evaluate(() => window.heard.state), 'whole');

await withBrowser(async (browser, address, thing) => {
  const { page } = await open(browser, address);
  await listen(page);
  await settled(page);
  await choose(page, thing);
  await page.focus('#plan');
  const [rested, running] = [[], []];
  for (let n = 0; n < EDITS; n += 1) {
    const isRested = n < EDITS / 2;
    if (isRested) await settled(page);
    const { of } = await page.evaluate(() => window.heard);
    await page.keyboard.press(n % 2 ? 'ArrowLeft' : 'ArrowRight');
    await page.waitForFunction((was) => window.heard.of > was && window.heard.state !== 'checking', of, { polling: 5 });
    (isRested ? rested : running).push(await page.evaluate(() => window.heard.at - window.pressed));
    await new Promise((go) => setTimeout(go, 150));
  }
  console.log(`${thing}: key to findings, ms least / median / most: rested ${spread(rested)}, while fixes are tried ${spread(running)}`);
});
