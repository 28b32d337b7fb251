// What the scripts share: a browser at the page's address, and checks that say what they saw.

import assert from 'node:assert/strict';
import { chromium } from 'playwright-core';

const ARGUMENTS = [
  '--headless', '--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync',
];
const PATIENCE_MS = 20_000;

/** Opens the page at an address; `faults` gathers what its scripts complain of. */
export async function open(browser, address, settings = {}) {
  const usual = { viewport: { width: 1366, height: 768 }, colorScheme: 'dark' };
  const context = await browser.newContext({ ...usual, ...settings });
  context.setDefaultTimeout(PATIENCE_MS);
  const page = await context.newPage();
  const faults = [];
  page.on('pageerror', (fault) => faults.push(String(fault.stack)));
  page.on('console', (said) => said.type() === 'error' && faults.push(`${said.text()} ${said.location().url}`));
  await page.goto(address);
  await page.waitForSelector('#cue-list .cue');
  return { page, faults, context };
}

/** Runs a script with a browser, and closes it whatever happens. */
export async function withBrowser(run) {
  const executablePath = process.env.BROWSER ?? '/usr/bin/chromium';
  const browser = await chromium.launch({ executablePath, args: ARGUMENTS });
  try {
    await run(browser, ...process.argv.slice(2));
  } finally {
    await browser.close();
  }
}

/** Waits until `look` gives what is wanted, and says what it gave last when it never does. */
export async function until(what, look, wanted) {
  const end = Date.now() + PATIENCE_MS;
  let saw;
  do {
    saw = await look();
    if (typeof wanted === 'function' ? wanted(saw) : saw === wanted) return saw;
    await new Promise((go) => setTimeout(go, 50));
  } while (Date.now() < end);
  const not = typeof wanted === 'function' ? '' : `, not ${JSON.stringify(wanted)}`;
  return assert.fail(`${what}: ${JSON.stringify(saw)}${not}`);
}

/** JSON that the server gives to the page. */
export async function json(page, address) {
  return page.evaluate(async (at) => (await fetch(at)).json(), address);
}

/** Chooses a thing of the plan by keys alone. */
export async function choose(page, name) {
  await page.focus('#plan');
  for (let presses = 0; presses < 60; presses += 1) {
    if ((await page.inputValue('#thing-list')).endsWith(` ${name}`)) return;
    await page.keyboard.press('n');
  }
  assert.fail(`${name} cannot be chosen by keys`);
}

/** A number that changes when the floor's pixels on the plan do. */
export function pixels(page) {
  return page.evaluate(() => {
    const canvas = document.getElementById('plan-floor');
    const { data } = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height);
    return data.reduce((sum, value, i) => (sum * 31 + value * ((i % 97) + 1)) % 1_000_003, 7);
  });
}

export { assert };
