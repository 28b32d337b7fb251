// The floor manager's page in the hand: sizes of keys, fingers, a line that breaks, and who drives.

import { assert, until, withBrowser } from './browser.mjs';
import { armedFor, face, openAt, rest, stood, told, unreadable } from './pages.mjs';

const SIZES = [[360, 640, 3], [640, 360, 3], [412, 915, 2], [768, 1024, 2], [1024, 768, 2], [1024, 1366, 1]];
/** What the page promises of its keys, CSS pixels. */
const [LEAST_PX, GAP_PX] = [72, 16];
const KEYS = ['back', 'hold', 'clear', 'go', 'off'];

const phone = ([width, height, deviceScaleFactor]) => ({ viewport: { width, height }, deviceScaleFactor, hasTouch: true, isMobile: true });

async function boxes(page) {
  const all = KEYS.map(async (name) => ({ name, ...(await page.locator(`.key-${name}`).boundingBox()) }));
  return Promise.all(all);
}

// The gap between two rectangles: along the axis on which they are apart.
function apart(a, b) {
  const gap = (from, size) => Math.max(a[from] - b[from] - b[size], b[from] - a[from] - a[size]);
  return Math.max(gap('x', 'width'), gap('y', 'height'));
}

async function sizes(page, [width, height]) {
  const keys = await boxes(page);
  for (const key of keys) {
    assert.ok(key.width >= LEAST_PX && key.height >= LEAST_PX, `${key.name} at ${width}x${height}: ${key.width} x ${key.height}`);
    assert.ok(key.x >= 0 && key.y >= 0 && key.x + key.width <= width && key.y + key.height <= height, `${key.name} is seen whole`);
    for (const other of keys) {
      if (other !== key) assert.ok(apart(key, other) >= GAP_PX - 0.01, `${key.name} and ${other.name} at ${width}x${height}: ${apart(key, other)}`);
    }
  }
  const off = keys.find(({ name }) => name === 'off');
  const [left, bottom] = [Math.min(...keys.map(({ x }) => x)), Math.max(...keys.map((key) => key.y + key.height))];
  assert.ok(off.x - left < 1 && bottom - off.y - off.height < 1, `OFF has the corner at ${width}x${height}`);
  const spills = await page.evaluate(() => [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight]);
  assert.deepEqual(spills, [0, 0], `nothing spills at ${width}x${height}`);
}

// Every pixel of the display has a whole number of the screen's, so that none is blurred.
async function crisp(page, ratio) {
  const [wide, high, shownWide, shownHigh, rendering] = await page.locator('#display').evaluate((image) => {
    const { width, height } = image.getBoundingClientRect();
    return [image.naturalWidth, image.naturalHeight, width, height, getComputedStyle(image).imageRendering];
  });
  const times = (shownWide * ratio) / wide;
  assert.equal(rendering, 'pixelated');
  assert.ok(times >= 1 && Math.abs(times - Math.round(times)) < 1e-3, `${times} screen pixels for one of the display`);
  assert.ok(Math.abs((shownHigh * ratio) / high - times) < 1e-3, 'square pixels');
}

async function everySize(browser, address, pictures) {
  const found = [];
  for (const size of SIZES) {
    for (const colorScheme of ['dark', 'light']) {
      const { page, faults, context } = await openAt(browser, address, '/box', '.key-go:enabled', { ...phone(size), colorScheme });
      const what = `box-${size[0]}x${size[1]}-${colorScheme}`;
      await until('the display is there', () => page.locator('#display').evaluate((image) => image.complete && image.naturalWidth > 0), true);
      await sizes(page, size);
      await crisp(page, size[2]);
      await page.screenshot({ path: `${pictures}/${what}.png` });
      found.push(...(await unreadable(page, what)), ...faults);
      await context.close();
    }
  }
  const { page, context } = await openAt(browser, address, '/box', '.key-go:enabled', { ...phone(SIZES[0]), forcedColors: 'active' });
  await sizes(page, SIZES[0]);
  await page.screenshot({ path: `${pictures}/box-forced.png` });
  found.push(...(await unreadable(page, 'box, forced colours')));
  await context.close();
  const lit = await openAt(browser, address, '/box', '.key-go:enabled', phone(SIZES[0]));
  await lit.page.click('#bright');
  await lit.page.screenshot({ path: `${pictures}/box-brighter.png` });
  found.push(...(await unreadable(lit.page, 'box, brighter')));
  await lit.context.close();
  assert.deepEqual(found, []);
}

/** Fingers: where each is now; the browser is told of all of them, as a screen does. */
async function fingers(page) {
  const line = await page.context().newCDPSession(page);
  const down = new Map();
  const tell = (type) => line.send('Input.dispatchTouchEvent', { type, touchPoints: [...down.values()] });
  const middle = async (name) => {
    const { x, y, width, height } = await page.locator(`.key-${name}`).boundingBox();
    return { x: x + width / 2, y: y + height / 2 };
  };
  return {
    async down(name) {
      down.set(name, { ...(await middle(name)), id: KEYS.indexOf(name) });
      await tell('touchStart');
    },
    async up(name) {
      down.delete(name);
      // A finger that the list has no longer is up; with none left the touch is over.
      await tell(down.size ? 'touchMove' : 'touchEnd');
    },
    async slide(name, to) {
      down.set(name, { ...to, id: KEYS.indexOf(name) });
      await tell('touchMove');
    },
    async lose() {
      down.clear();
      await tell('touchCancel');
    },
  };
}

const isDown = (page, name) => page.locator(`.key-${name}`).evaluate((key) => key.classList.contains('down'));

// Keeps a finger on a key until something is so: the box's time stands still while its machine is busy, a hand's does not.
async function press(hand, name, during) {
  await hand.down(name);
  await during();
  await hand.up(name);
}

const ticks = async (page) => (await told(page, 'box')).felt;

async function isFelt(page, what, isTaken) {
  const [before] = await ticks(page);
  return () => until(what, () => ticks(page), ([count, taken]) => count > before && taken === isTaken);
}

async function oneThumb(page, hand) {
  await press(hand, 'hold', () => face(page, 'HOLD kept down arms', ({ gate }) => gate === 'armed'));
  await armedFor(page);
  await press(hand, 'go', () => face(page, 'and GO lights the first cue', ({ mode, now }) => mode === 'BRIEF' && now === 0));
  await stood(page);
}

// OFF and CLEAR count beside any key; GO beside HOLD is a slip of the hand. The box says so, not the page.
async function twoFingers(page, hand) {
  await hand.down('clear');
  await face(page, 'CLEAR while it is down', ({ reveal }) => reveal === 'CLEAR');
  await press(hand, 'go', () => face(page, 'GO counts beside CLEAR', ({ now }) => now === 1));
  assert.ok(await isDown(page, 'clear'), 'the other finger still holds CLEAR');
  await hand.up('clear');
  await face(page, 'and no longer', ({ reveal }) => reveal !== 'CLEAR');
  await stood(page);
  await press(hand, 'hold', async () => {
    await face(page, 'HOLD: the keys alone', ({ hold }) => hold);
    await press(hand, 'go', await isFelt(page, 'GO beside HOLD is not taken', false));
  });
  assert.equal((await told(page, 'box')).face.now, 1, 'and advances nothing');
  await stood(page);
}

async function letGo(page, hand) {
  await hand.down('clear');
  await until('down', () => isDown(page, 'clear'), true);
  await hand.slide('clear', { x: 4, y: 4 });
  await until('a finger that slides off has left', () => isDown(page, 'clear'), false);
  await hand.up('clear');
  await hand.down('clear');
  await until('down', () => isDown(page, 'clear'), true);
  await hand.lose();
  await until('a touch that is taken away lets go', () => isDown(page, 'clear'), false);
  await hand.down('clear');
  await until('down', () => isDown(page, 'clear'), true);
  await page.evaluate(() => {
    Object.defineProperty(document, 'hidden', { configurable: true, get: () => true });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await until('a page that nobody sees lets go', () => isDown(page, 'clear'), false);
  await face(page, 'for the box, too', ({ reveal }) => reveal !== 'CLEAR');
  await page.evaluate(() => delete document.hidden);
  await hand.up('clear');
}

async function felt(page, hand) {
  const last = () => page.evaluate(() => window.felt.at(-1)?.length ?? 0);
  await page.evaluate(() => (window.felt.length = 0));
  await press(hand, 'hold', await isFelt(page, 'a press is taken', true));
  await until('and felt once', last, 1);
  await stood(page);
  await hand.down('back');
  await rest(page, 60);
  await hand.up('back');
}

async function offline(page) {
  await page.context().setOffline(true);
  await page.locator('#cut').waitFor({ timeout: 2000 });
  for (const name of KEYS) assert.ok(await page.locator(`.key-${name}`).isDisabled(), `${name} is off without a line`);
  await page.context().setOffline(false);
  await page.locator('#cut').waitFor({ state: 'hidden' });
}

// A line that is open and carries nothing: the first key that nobody answers for tells.
async function unanswered(browser, address) {
  const context = await browser.newContext(phone(SIZES[0]));
  let [mute, drops] = [false, 0];
  await context.routeWebSocket('**/live', (socket) => {
    const server = socket.connectToServer();
    socket.onMessage((message) => (mute ? (drops += 1) : server.send(message)));
  });
  const page = await context.newPage();
  const at = new URL(address);
  at.pathname = '/box';
  await page.goto(at.href);
  await page.locator('.key-go:enabled').waitFor();
  mute = true;
  await page.focus('.key-clear');
  await page.keyboard.down('Space');
  await page.locator('#cut').waitFor({ timeout: 6000 });
  assert.equal(await isDown(page, 'clear'), false, 'what nobody hears is not down');
  await page.keyboard.up('Space');
  assert.ok(drops > 0);
  await context.close();
}

await withBrowser(async (browser, address, pictures) => {
  await everySize(browser, address, pictures);
  const { page, faults, context } = await openAt(browser, address, '/box', '.key-go', phone(SIZES[0]));
  await page.addInitScript(() => {
    window.felt = [];
    navigator.vibrate = (pattern) => window.felt.push(pattern);
  });
  await page.reload();
  await page.locator('.key-go:enabled').waitFor();
  const hand = await fingers(page);
  await oneThumb(page, hand);
  await page.screenshot({ path: `${pictures}/box-lit.png` });
  await twoFingers(page, hand);
  await letGo(page, hand);
  await felt(page, hand);
  assert.deepEqual(faults, []);
  await offline(page);
  await context.close();
  await unanswered(browser, address);
});
