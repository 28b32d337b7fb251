// The page for who stands on the floor: they find themselves, their sign, their way, and the plan turned so that their
// left is left.

import { assert, until, withBrowser } from './browser.mjs';
import { ask, face, openAt, unreadable } from './pages.mjs';

/** A cue of the demo in which Guest 1 walks to B: its index, and what the page says. */
const CUE = 6;

async function choose(page, name) {
  for (let presses = 0; presses < 20; presses += 1) {
    await page.keyboard.press('Tab');
    if (await page.evaluate((one) => document.activeElement?.textContent?.includes(one), name)) return page.keyboard.press('Enter');
  }
  return assert.fail(`${name} cannot be chosen by keys`);
}

async function myWay(page) {
  await until('one sentence', () => page.textContent('#sentence'), 'Walk along the arrows to the amber square at B.');
  assert.match(await page.textContent('#figures'), /^Line .*: \d+\.\d\d m, about \d+\.\d s/);
  assert.match(await page.textContent('#who-am-i'), /Guest 1: amber square/);
  assert.equal(await page.locator('#icons .step.amber-square').count(), 4, 'steps for who does not read');
  const states = await page.locator('#signs [data-state]').evaluateAll((all) => all.map(({ dataset }) => dataset.state));
  assert.deepEqual(states, ['stand by', 'go', 'arrived', 'off the mark', 'later', 'steady']);
}

// What is stage left is on the left, and the front is up: by where the page draws the person whom the server has there.
async function turned(page) {
  const there = await page.evaluate(async (cue) => {
    const { people } = await (await fetch(`/api/moment?cue=${cue}&t=0`)).json();
    return people.find(({ name }) => name === 'Guest 1').at;
  }, CUE);
  const drawn = await page.evaluate(() => {
    const box = document.getElementById('map').getBoundingClientRect();
    const me = document.querySelector('#map-lines .here').getBoundingClientRect();
    return [me.x + me.width / 2 - box.x - box.width / 2, me.y + me.height / 2 - box.y - box.height / 2];
  });
  assert.ok(Math.sign(drawn[0]) === -Math.sign(there[0]), `at x ${there[0]} m it is drawn at ${drawn[0]} px`);
  assert.ok(Math.sign(drawn[1]) === Math.sign(there[1]), `at y ${there[1]} m it is drawn at ${drawn[1]} px`);
  assert.ok(Math.abs(drawn[0] / there[0] + drawn[1] / there[1]) < 2, 'by the same scale both ways');
  const sides = await page.locator('#map-lines .side').evaluateAll((all) => all.map((one) => {
    const { x, y } = one.getBoundingClientRect();
    return [one.textContent, x, y];
  }));
  const at = (words) => sides.find(([text]) => text.includes(words));
  assert.ok(at('DS')[2] < at('US')[2] && at('SL')[1] < at('SR')[1]);
}

// Pixels of the floor, turned with it: they are like the server's picture turned by half, and not like it as it is or
// mirrored. Likeness is the correlation of both at 48 by 48.
async function pixels(page) {
  await until('floor pixels', () => page.evaluate(likeness, CUE), ([turned, ...others]) => turned > 0.6 && others.every((other) => other < turned - 0.3));
}

async function likeness(cue) {
  const show = await (await fetch('/api/show')).json();
  const picture = await createImageBitmap(await (await fetch(`/floor/${show.canvases[0].name}.png?cue=${cue}&t=0`)).blob());
  const map = document.getElementById('map-floor');
  const xs = show.floor.outline.map(([x]) => x);
  const size = 48;
  // The plan shows 0.45 m more on each side.
  const edge = (0.45 * map.width) / (Math.max(...xs) - Math.min(...xs) + 0.9);
  const read = (source, [sx, sy], cut) => {
    const brush = new OffscreenCanvas(size, size).getContext('2d');
    brush.imageSmoothingQuality = 'high';
    brush.setTransform(sx, 0, 0, sy, sx < 0 ? size : 0, sy < 0 ? size : 0);
    brush.drawImage(source, cut, cut, source.width - 2 * cut, source.height - 2 * cut, 0, 0, size, size);
    const { data } = brush.getImageData(0, 0, size, size);
    const all = Array.from({ length: size * size }, (_, i) => data[i * 4] + data[i * 4 + 1] + data[i * 4 + 2]);
    const mean = all.reduce((a, b) => a + b) / all.length;
    return all.map((value) => value - mean);
  };
  const dot = (a, b) => a.reduce((sum, value, i) => sum + value * b[i], 0);
  const shown = read(map, [1, 1], edge);
  return [[-1, -1], [1, 1], [-1, 1], [1, -1]].map((way) => {
    const wanted = read(picture, way, 0);
    return dot(shown, wanted) / Math.sqrt(dot(shown, shown) * dot(wanted, wanted));
  });
}

async function eyes(page) {
  const seen = () => page.locator('#eye').evaluate(({ hidden, naturalWidth }) => (hidden ? 0 : naturalWidth));
  await until('what they see', seen, 640);
  const first = await page.getAttribute('#eye', 'src');
  await page.getByRole('button', { name: 'feet' }).click();
  await until('another view', () => page.getAttribute('#eye', 'src'), (src) => src !== first);
}

async function reading(browser, address, pictures) {
  const found = [];
  for (const colorScheme of ['dark', 'light']) {
    for (const [width, height] of [[360, 640], [1024, 1366]]) {
      const what = `talent-${width}-${colorScheme}`;
      const { page, faults, context } = await openAt(browser, `${address}`, '/talent', '.person', { viewport: { width, height }, colorScheme });
      await page.screenshot({ path: `${pictures}/${what}-choose.png` });
      found.push(...(await unreadable(page, `${what} choose`)));
      await page.locator('.person', { hasText: 'Guest 1' }).click();
      await page.locator('#eye:visible').waitFor();
      await page.screenshot({ path: `${pictures}/${what}.png`, fullPage: true });
      found.push(...(await unreadable(page, what)), ...faults);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (wide > 0) found.push(`${what}: ${wide} px wider than the window`);
      await context.close();
    }
  }
  assert.deepEqual(found, []);
}

await withBrowser(async (browser, address, pictures) => {
  const driver = await openAt(browser, address, '/box', '.key-go:enabled');
  const { page, faults, context } = await openAt(browser, address, '/talent', '.person', { viewport: { width: 1024, height: 768 } });
  await choose(page, 'Guest 1');
  assert.equal(await ask(driver.page, 'look', { live: false, cue: CUE, t_s: 0, playing: false }), null);
  await myWay(page);
  await turned(page);
  await pixels(page);
  await eyes(page);
  assert.equal(await ask(driver.page, 'begin', { cue: CUE }), null);
  assert.equal(await ask(driver.page, 'look', { live: true, cue: null, t_s: 0, playing: false }), null);
  await face(page, 'the box is in the cue', ({ now }) => now === CUE);
  await until('what the mark says now', () => page.textContent('#now-word'), (words) => /^(stand by|go|arrived): /.test(words));
  await page.screenshot({ path: `${pictures}/talent-live.png`, fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
  await reading(browser, address, pictures);
});
