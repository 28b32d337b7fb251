// A set lead moves a prop by keys, sees what that does to the findings, takes it back, moves it again and keeps it.

import fs from 'node:fs';
import path from 'node:path';
import { assert, choose, json, open, until, withBrowser } from './browser.mjs';

const x = (page) => page.inputValue('#thing-x');

async function whole(page, revision) {
  await page.evaluate((wanted) => new Promise((done) => {
    const socket = new WebSocket(`ws://${location.host}/live`);
    socket.onmessage = ({ data }) => {
      const told = JSON.parse(data);
      if (told.told !== 'findings' || told.revision < wanted || told.state !== 'whole') return;
      socket.close();
      done();
    };
  }), revision);
}

await withBrowser(async (browser, address, folder) => {
  const { page, faults } = await open(browser, address);
  assert.ok(!page.url().includes('key='), 'the key leaves the address');
  const show = await json(page, '/api/show');
  const cues = await page.locator('#cue-list .number').allTextContents();
  assert.deepEqual(cues, show.cues.map(({ number }) => number));
  await whole(page, show.revision);

  await page.click('#cue-list [data-cue="2"]');
  await choose(page, 'WATCH');
  const before = await page.locator('#finding-list').innerText();
  assert.equal(await x(page), '0.15');
  await page.keyboard.press('ArrowRight');
  await until('the typed place follows', () => x(page), '0.2');
  await page.locator('#finding-list .fresh').first().waitFor();
  await page.keyboard.press('Shift+ArrowUp');
  await until('fine steps', () => page.inputValue('#thing-y'), '-0.34');

  // Steps that follow each other at once may be one change: all of it is taken back. Both fields are filled together.
  await page.keyboard.press('Control+z');
  await until('a step back', () => page.inputValue('#thing-y'), '-0.35');
  if ((await x(page)) === '0.2') await page.keyboard.press('Control+z');
  await until('undo', () => x(page), '0.15');
  await until('it is not unkept any more', () => page.getAttribute('#kept', 'data-unkept'), 'false');
  await page.keyboard.press('Control+Shift+z');
  await until('redo', () => x(page), '0.2');
  await page.keyboard.press('Control+z');
  await until('undo again', () => x(page), '0.15');
  await until('the findings are as they were', async () => {
    const now = await page.locator('#finding-list .what').allInnerTexts();
    return now.every((words) => before.includes(words));
  }, true);

  await page.fill('#thing-y', 'upstage');
  await page.keyboard.press('Enter');
  await until('a word is no place', () => page.getAttribute('#thing-y', 'aria-invalid'), 'true');
  await page.fill('#thing-y', '-0,25');
  await page.keyboard.press('Enter');
  await until('a comma is a point', async () => {
    const { props } = await json(page, '/api/show');
    return props.find(({ name }) => name === 'WATCH').at[1];
  }, -0.25);

  await page.focus('#plan');
  await page.keyboard.press('Control+s');
  await page.fill('#keep-name', 'tried.toml');
  await page.keyboard.press('Enter');
  await until('it is kept', () => page.getAttribute('#kept', 'data-unkept'), 'false');
  assert.match(fs.readFileSync(path.join(folder, 'tried.toml'), 'utf8'), /name = "WATCH"\nat = \[0\.15, -0\.25\]/);
  assert.deepEqual(faults, []);
});
