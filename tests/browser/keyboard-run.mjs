// Demo A from its first cue to OFF by keyboard alone, on the main page and on the floor manager's: every cue is what the
// show file says, and what the box told.

import { assert, until, withBrowser } from './browser.mjs';
import { armedFor, face, openAt, stood, told } from './pages.mjs';

/** Numbers and modes of the demo's cues, as written in its file. */
const CUES = [
  ['1', 'BRIEF'], ['2', 'STANDBY'], ['3', 'STANDBY'], ['4', 'STANDBY'], ['5', 'STANDBY'], ['6', 'STANDBY'],
  ['6.5', 'STANDBY'], ['7', 'RESET'], ['8', 'OFF'],
];
/** Names of keys to the letters that press them. */
const LETTERS = { go: 'g', hold: 'h', off: 'o' };

// Moves the focus with Tab until the key has it: no pointer, no script.
async function tabTo(page, name) {
  for (let presses = 0; presses < 120; presses += 1) {
    if (await page.evaluate((one) => document.activeElement?.dataset?.key === one, name)) return;
    await page.keyboard.press('Tab');
  }
  assert.fail(`${name} cannot be reached with Tab`);
}

// Keeps a key down until something is so: the box's time stands still while its machine is busy, a hand's does not.
async function press(page, name, how, during) {
  if (how !== 'letters') await tabTo(page, name);
  const key = how === 'letters' ? LETTERS[name] : how;
  await page.keyboard.down(key);
  await during();
  await page.keyboard.up(key);
}

async function outOfOff(page, how, during) {
  await press(page, 'hold', how, () => face(page, 'HOLD kept down arms', ({ gate }) => gate === 'armed'));
  await armedFor(page);
  await press(page, 'go', how, during);
}

async function run(page, how, only = CUES.length) {
  const show = await page.evaluate(async () => (await fetch('/api/show')).json());
  assert.deepEqual(show.cues.map(({ number, mode }) => [number, mode.toUpperCase()]), CUES);
  await face(page, 'it wakes in OFF', ({ mode, now }) => mode === 'OFF' && now === null);
  for (const [index, [number, mode]] of CUES.slice(0, only).entries()) {
    const { gate, next } = (await told(page, 'box')).face;
    assert.equal(next, index, `GO leads to cue ${number}`);
    const isIt = () => face(page, `cue ${number} is ${mode}`, (said) => said.mode === mode && (mode === 'OFF' || said.now === index));
    if (gate === 'off') await outOfOff(page, how, isIt);
    else await press(page, 'go', how, isIt);
    // An advance locks further ones out for 400 ms.
    if (mode !== 'OFF') await stood(page);
  }
}

async function onMain(browser, address) {
  const { page, faults, context } = await openAt(browser, address, '/', '#cue-list .cue', { viewport: { width: 1366, height: 768 } });
  await page.locator('.key-go:enabled').waitFor();
  await page.keyboard.press('b');
  await until('B leads to the keys of the box', () => page.evaluate(() => Boolean(document.activeElement.dataset.key)), true);
  await run(page, 'letters');
  const { face: last, people } = await told(page, 'box');
  assert.deepEqual([last.mode, people], ['OFF', []], 'the last cue of the demo is OFF, and nobody is called');
  assert.deepEqual(faults, []);
  await context.close();
}

// OFF is reached from any cue by its own key, with the other key that presses buttons.
async function onBox(browser, address) {
  const { page, faults, context } = await openAt(browser, address, '/box', '.key-go:enabled', { viewport: { width: 360, height: 640 } });
  await run(page, 'Space', 3);
  const isOff = ({ mode, gate, next }) => mode === 'OFF' && gate === 'off' && next !== null;
  await press(page, 'off', 'Enter', () => face(page, 'OFF', isOff));
  assert.match(await page.textContent('#now'), /^OFF/);
  assert.match(await page.textContent('#prompt'), /HOLD/);
  assert.deepEqual(faults, []);
  await context.close();
}

await withBrowser(async (browser, main, box) => {
  await onMain(browser, main);
  await onBox(browser, box);
});
