// Three browsers: two that may drive and one that may not. One drives at a time; a line that breaks lets every key go;
// who takes nothing in holds up nobody.

import http from 'node:http';
import { randomBytes } from 'node:crypto';
import { assert, until, withBrowser } from './browser.mjs';
import { ask, face, openAt, rest, told } from './pages.mjs';

/** Every ask that only the driver may make. */
const DRIVING = [
  ['key', { key: 'go', down: true }], ['mode', { mode: 'brief' }], ['begin', { cue: 1 }], ['pull', { of: 'tracking', lost: true }],
  ['stand', { person: 'Presenter', at: [0, 0] }], ['look', { live: false, cue: 0, t_s: 0, playing: false }],
  ['edit', { change: { what: 'move-prop', name: 'WATCH', to: [0, 0] } }], ['undo', {}], ['redo', {}], ['keep', { as: 'x.toml' }],
  ['reload', {}], ['attach', { to: 'tcp:127.0.0.1:1' }], ['detach', {}],
];
const REMARKS = 100;
const BEATS = 15;

const state = async (page) => {
  const [show, house, box] = await Promise.all(['show', 'house', 'box'].map((kind) => told(page, kind)));
  return { revision: show.revision, driver: house.driver, face: box.face, pulled: box.pulled, people: box.people };
};

async function refused(page, who, words) {
  const before = await state(page);
  for (const [what, fields] of DRIVING) {
    const answer = await ask(page, what, fields);
    assert.match(answer ?? 'it was done', words, `${what} of ${who}`);
  }
  await rest(page, 300);
  assert.deepEqual(await state(page), before, `what ${who} asked changed nothing`);
}

async function handOver(one, two, viewer) {
  await refused(two, 'the second', /drives/);
  await refused(viewer, 'the viewer', /drives/);
  assert.match(await ask(two, 'drive', { take: true }), /drives: ask them to give it up/);
  assert.match(await ask(viewer, 'drive', { take: true }), /look only/);
  assert.equal(await two.textContent('#who'), await viewer.textContent('#who'));
  assert.match(await two.textContent('#who'), /drives$/);
  await one.click('#drive');
  for (const page of [one, two]) await until('nobody drives', async () => (await told(page, 'house')).driver, null);
  await refused(one, 'who gave up', /nobody drives/);
  await two.click('#drive');
  await two.locator('.key-go:enabled').waitFor();
  // What follows begins when everybody has heard of it.
  await until('the first page says who does', () => one.textContent('#who'), (words) => / drives$/.test(words));
  assert.ok(await one.locator('.key-go').isDisabled());
  await refused(one, 'who gave up', /drives/);
}

// The line breaks while a key is down: the box has it up at once, and nobody drives.
async function broken(browser, address, watcher) {
  assert.equal(await ask(watcher, 'begin', { cue: 1 }), null);
  await face(watcher, 'a cue is lit', ({ gate, now }) => gate === 'open' && now === 1);
  await watcher.click('#drive');
  await until('nobody drives', async () => (await told(watcher, 'house')).driver, null);
  const context = await browser.newContext();
  let line = null;
  await context.routeWebSocket('**/live', (socket) => {
    line = socket;
    socket.connectToServer();
  });
  const page = await context.newPage();
  const at = new URL(address);
  at.pathname = '/box';
  await page.goto(at.href);
  // Nobody drove: who comes and may drive does.
  await page.locator('.key-clear:enabled').waitFor();
  await page.focus('.key-clear');
  await page.keyboard.down('Space');
  await face(watcher, 'CLEAR is down', ({ reveal }) => reveal === 'CLEAR');
  const start = performance.now();
  await line.close();
  await page.locator('#cut').waitFor({ timeout: 2000 });
  await face(watcher, 'a line that breaks lets CLEAR go', ({ reveal }) => reveal !== 'CLEAR');
  console.log(`a broken line let CLEAR go, seen by others after ${Math.round(performance.now() - start)} ms`);
  await context.close();
  await watcher.click('#drive');
  await watcher.locator('.key-go:enabled').waitFor();
}

/** A client that opens the line and never reads from it. */
function deaf(address) {
  const { host, hostname, port, searchParams } = new URL(address);
  const cookie = `underfoot-${port}=${searchParams.get('key')}`;
  return new Promise((done, failed) => {
    const headers = {
      Host: host, Origin: `http://${host}`, Cookie: cookie, Connection: 'Upgrade', Upgrade: 'websocket',
      'Sec-WebSocket-Version': '13', 'Sec-WebSocket-Key': randomBytes(16).toString('base64'),
    };
    const request = http.request({ hostname, port, path: '/live', headers });
    request.on('upgrade', (_, socket) => {
      socket.pause();
      socket.on('error', () => {});
      done(socket);
    });
    request.on('response', ({ statusCode }) => failed(new Error(`the line was refused: ${statusCode}`)));
    request.on('error', failed);
    request.end();
  });
}

// Milliseconds from a key of the driver to the answer, the middle of some.
function beats(page, count) {
  return page.evaluate(async (times) => {
    const live = await import('/page/live.js');
    const all = [];
    for (let n = 0; n < times; n += 1) {
      for (const down of [true, false]) {
        const start = performance.now();
        await live.ask('key', { key: 'go', down });
        all.push(performance.now() - start);
      }
    }
    return all.sort((a, b) => a - b)[Math.floor(all.length / 2)];
  }, count);
}

// Others hear a remark within a second, however deaf somebody is.
async function heard(from, by, text) {
  const hears = by.evaluate(async (wanted) => {
    const live = await import('/page/live.js');
    return new Promise((done) => live.on('remark', (one) => one.text === wanted && done(performance.now())));
  }, text);
  await rest(by, 100);
  const start = Date.now();
  assert.equal(await ask(from, 'remark', { text }), null);
  await hears;
  return Date.now() - start;
}

async function nobodyWaits(driver, other, viewer, address) {
  const before = await beats(driver, BEATS);
  const people = (await told(viewer, 'house')).people.length;
  const socket = await deaf(address);
  await until('the deaf one is here', async () => (await told(viewer, 'house')).people.length, people + 1);
  for (let n = 0; n < REMARKS; n += 1) await ask(other, 'remark', { text: `${n} `.padEnd(200, 'x') });
  const after = await beats(driver, BEATS);
  const waited = await heard(other, viewer, 'who hears this?');
  const times = `${before.toFixed(1)} ms before, ${after.toFixed(1)} ms beside a deaf one (x ${(after / before).toFixed(2)})`;
  console.log(`a key's answer: ${times}; a remark came after ${waited} ms`);
  assert.ok(waited < 1000, `a remark came after ${waited} ms`);
  await until('who says nothing for so long is let go', async () => (await told(viewer, 'house')).people.length, people);
  socket.destroy();
}

await withBrowser(async (browser, drive, other, view) => {
  const pages = [];
  for (const address of [drive, other, view]) pages.push(await openAt(browser, address, '/box', '#who'));
  const [one, two, viewer] = pages.map(({ page }) => page);
  await one.locator('.key-go:enabled').waitFor();
  await until('all are here', async () => (await told(viewer, 'house'))?.people.length, 3);
  await handOver(one, two, viewer);
  await broken(browser, other, two);
  await nobodyWaits(two, one, viewer, drive);
  assert.deepEqual(pages.flatMap(({ faults }) => faults), []);
});
