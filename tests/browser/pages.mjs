// The other pages of the tool: opening them, what the box behind them says, and whether everybody can read them.

import fs from 'node:fs';
import { createRequire } from 'node:module';
import { until } from './browser.mjs';

const AXE = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Opens a page beside the main one, once `ready` is there; `faults` gathers what its scripts complain of. */
export async function openAt(browser, address, path, ready, settings = {}) {
  const context = await browser.newContext({ colorScheme: 'dark', ...settings });
  context.setDefaultTimeout(20_000);
  const page = await context.newPage();
  const faults = [];
  page.on('pageerror', (fault) => faults.push(String(fault.stack)));
  page.on('console', (said) => said.type() === 'error' && faults.push(`${said.text()} ${said.location().url}`));
  const at = new URL(address);
  at.pathname = path;
  await page.goto(at.href);
  await page.locator(ready).first().waitFor();
  return { page, faults, context };
}

/** What was told last of one kind: "box", "house", "show". */
export function told(page, kind) {
  return page.evaluate(async (one) => (await import('/page/live.js')).told[one] ?? null, kind);
}

/** Asks the server for something as a page would: the words of a refusal, or `null` when it was done. */
export function ask(page, what, fields = {}) {
  return page.evaluate(async ([one, more]) => {
    const live = await import('/page/live.js');
    return live.ask(one, more).then(() => null, (refusal) => refusal.message);
  }, [what, fields]);
}

/** Waits until the box's face is as wanted, and returns it. */
export function face(page, what, wanted) {
  return until(what, async () => (await told(page, 'box'))?.face ?? null, (saw) => saw !== null && wanted(saw));
}

/** Waits until the box, which is armed, has counted at least one second down: its own time, which stands still while its machine is busy. */
export async function armedFor(page) {
  const left = async () => Number(/ARM (\d+)/.exec((await told(page, 'box')).lines[0])?.[1] ?? NaN);
  const first = await until('it is armed', left, (seconds) => seconds > 0);
  return until('it counts down', left, (seconds) => seconds < first);
}

/** Waits until the cue on the floor has stood for one more second of the box's time. */
export async function stood(page) {
  const since = async () => (await told(page, 'box')).cue_s;
  const first = await until('a cue is on the floor', since, (seconds) => seconds !== null);
  return until('it stands', since, (seconds) => seconds > first);
}

/** What axe-core finds serious or critical on a page, in words; `within` is a part of it. */
export async function unreadable(page, what, within = null) {
  await page.evaluate(AXE);
  const { violations } = await page.evaluate((part) => window.axe.run(part ?? document), within);
  const grave = violations.filter(({ impact }) => impact === 'serious' || impact === 'critical');
  return grave.map(({ id, nodes }) => `${what}: ${id} at ${nodes.map(({ target, failureSummary }) => `${target.join(' ')} (${failureSummary})`).join(', ')}`);
}

/** Waits for what is longer than a lockout or a long press; a hand takes its time, too. */
export function rest(page, ms) {
  return page.waitForTimeout(ms);
}
