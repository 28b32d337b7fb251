// The box in one hand: for the floor manager's phone or tablet.

import { beginHand, allow, justTouched } from './box-hand.js';
import { beginSays } from './box-says.js';
import { byId, set, write } from './dom.js';
import { ask, connect, drives, on, told, whyNot } from './live.js';
import { tried } from './say.js';

const BRIGHT = 'underfoot-box-bright';
/** How often the line is tried, and how long an answer may take. */
const [BEAT_MS, PATIENCE_MS] = [1500, 4000];
const [ONE, TWO] = [[35], [35, 90, 35]];

let silent = false;
let answers = true;

function who() {
  const why = whyNot();
  const other = why.endsWith(' drives');
  write(byId('who'), why === '' ? 'you drive' : other ? why : `keys off: ${why}`);
  const me = told.house?.people.find((person) => person.id === told.you?.id);
  write(byId('drive'), drives() ? 'Give up' : 'Drive');
  byId('drive').disabled = !told.line?.up || (me?.right === 'view' && !drives());
  document.body.classList.toggle('looking', why !== '');
}

// Lost is lost at once, for the whole page: a key that looks alive and is not is worse than none.
function line() {
  const up = Boolean(told.line?.up) && !silent && answers;
  const cut = byId('cut');
  if (told.line && cut.hidden === up) return allow(up);
  cut.hidden = up || !told.line;
  document.querySelector('main').inert = !cut.hidden;
  allow(up);
  if (!cut.hidden) cut.focus();
  return undefined;
}

// A network that went without a word is found by asking.
async function beat() {
  const heard = await fetch('/page/sign.svg', { cache: 'no-store', signal: AbortSignal.timeout(PATIENCE_MS) })
    .then(({ ok }) => ok, () => false);
  silent = !heard || !navigator.onLine;
  line();
  setTimeout(beat, BEAT_MS);
}

// What the box's hand would feel: one tick is taken, two are not.
function feel() {
  let last = null;
  on('box', ({ felt }) => {
    const [ticks, taken] = felt ?? [0, false];
    if (last !== null && ticks > last && justTouched()) navigator.vibrate?.(taken ? ONE : TWO);
    last = ticks;
  });
}

// A phone that falls asleep in a cue shows nothing.
function stayAwake() {
  const stay = () => !document.hidden && navigator.wakeLock?.request('screen').catch(() => {});
  document.addEventListener('visibilitychange', stay);
  addEventListener('pointerdown', stay, { once: true });
  stay();
}

function brightness() {
  const turn = (on_) => {
    document.documentElement.classList.toggle('bright', on_);
    set(byId('bright'), 'aria-pressed', String(on_));
  };
  const kept = () => {
    try {
      return localStorage.getItem(BRIGHT) === 'on';
    } catch {
      return false;
    }
  };
  turn(kept());
  byId('bright').addEventListener('click', () => {
    const is = !document.documentElement.classList.contains('bright');
    turn(is);
    try {
      localStorage.setItem(BRIGHT, is ? 'on' : 'off');
    } catch {
      // It is only a comfort.
    }
  });
}

beginSays();
beginHand(byId('keys'), byId('said'));
byId('drive').addEventListener('click', () => tried(byId('said'), ask('drive', { take: !drives() })));
['house', 'you', 'line'].forEach((kind) => on(kind, who));
on('line', ({ up }) => {
  answers ||= up;
  line();
});
on('answers', (is) => {
  answers = is;
  line();
});
addEventListener('offline', () => {
  silent = true;
  line();
});
feel();
stayAwake();
brightness();
connect();
setTimeout(beat, BEAT_MS);
