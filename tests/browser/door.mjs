// What comes to the door and does not belong: a thousand requests of every bad kind change nothing, and the server still
// answers. HTTP as RFC 9112 has it, WebSocket frames as RFC 6455 has them, written by hand so that they may be wrong.

import net from 'node:net';
import { randomBytes } from 'node:crypto';
import { assert, until, withBrowser } from './browser.mjs';
import { ask, openAt, told } from './pages.mjs';

const PATIENCE_MS = 8000;
const SOCKETS = 200;

let port = 0;
let cookie = '';
const counts = new Map();

/** Sends bytes, and gives what comes back until the other end closes or patience ends. */
function send(bytes, { until: enough = () => false, wait = PATIENCE_MS } = {}) {
  return new Promise((done) => {
    const socket = net.connect(port, '127.0.0.1');
    const parts = [];
    const end = () => {
      socket.destroy();
      done(Buffer.concat(parts).toString('latin1'));
    };
    socket.setTimeout(wait, end);
    socket.on('data', (part) => {
      parts.push(part);
      if (enough(Buffer.concat(parts).toString('latin1'))) end();
    });
    socket.on('end', end);
    socket.on('error', end);
    socket.on('close', end);
    socket.on('connect', () => socket.write(bytes));
  });
}

const status = (answer) => Number(/^HTTP\/1\.[01] (\d{3})/.exec(answer)?.[1] ?? 0);

function head(method, path, more = {}) {
  const lines = { Host: `127.0.0.1:${port}`, Connection: 'close', ...more };
  const given = Object.entries(lines).filter(([, value]) => value !== null);
  const text = given.map(([name, value]) => `${name}: ${value}\r\n`).join('');
  return `${method} ${path} HTTP/1.1\r\n${text}\r\n`;
}

/** Headers that open a WebSocket. */
const upgrading = () => ({
  Connection: 'Upgrade', Upgrade: 'websocket', 'Sec-WebSocket-Version': '13', 'Sec-WebSocket-Key': randomBytes(16).toString('base64'),
});

/** Sends many, eight at a time, and wants each answer's status among `wanted`; 0 is a line that was just closed. */
async function all(kind, requests, wanted) {
  const left = [...requests];
  const work = async () => {
    while (left.length) {
      const bytes = left.pop();
      const answer = await send(bytes);
      const what = `${kind}: ${JSON.stringify(bytes.toString('latin1').slice(0, 120))}`;
      assert.ok(wanted.includes(status(answer)), `${what} got ${JSON.stringify(answer.slice(0, 200))}`);
      assert.ok(!answer.includes('root:') && !answer.includes('[workspace]'), `${kind} gives nothing of this machine`);
    }
  };
  await Promise.all(Array.from({ length: 8 }, work));
  counts.set(kind, (counts.get(kind) ?? 0) + requests.length);
}

const times = (count, make) => Array.from({ length: count }, (_, n) => make(n));
const PATHS = ['/', '/box', '/talent', '/live', '/api/show', '/api/moment?cue=0', '/page/live.js', '/box/display.png', '/export/show.toml', '/nothing'];
const TRICKS = [
  '/page/../Cargo.toml', '/page/..%2f..%2fCargo.toml', '/page/%2e%2e/%2e%2e/Cargo.toml', '/page/....//Cargo.toml', '//etc/passwd', '/page//etc/passwd',
  '/page/%00live.js', '/page/live.js%00.png', '/floor/..%2f..%2f..%2fetc%2fpasswd.png?cue=0', '/shot/..%2f..%2fetc%2fpasswd.png?cue=0', '/export/..%2fshow.toml',
  '/page/C:%5cwindows%5cwin.ini', '/page/%c0%ae%c0%ae/passwd', '/box/floor/%2fetc%2fpasswd', '/eye/%2e%2e%2f.png?cue=0', '/./page/../../etc/passwd',
  '/page/live.js/..', '/api/show/../../etc/passwd', '/*', '/?key[]=1',
];
const QUERIES = ['cue=-1', 'cue=999', 'cue=1e9', 'cue=%00', 't=NaN&cue=0', 't=-1&cue=0', 't=1e308&cue=0', 'w=100000000&cue=0', 'mode=kill&cue=0', 'cue=0&cue=1&cue=2'];

async function withoutKey() {
  const no = [401, 429];
  await all('no key', times(120, (n) => head('GET', PATHS[n % 9])), no);
  await all('a wrong key', times(80, () => head('GET', '/', { Cookie: `underfoot-${port}=${randomBytes(16).toString('hex')}` })), no);
  await all('a wrong key in the address', times(60, () => head('GET', `/?key=${randomBytes(16).toString('hex')}`)), no);
  await all('the key of another port', times(20, () => head('GET', '/', { Cookie: cookie.replace(String(port), '1') })), no);
}

async function fromElsewhere() {
  const hosts = ['stage.example', `stage.example:${port}`, '127.0.0.1', `127.0.0.1:${port + 1}`, `localhost.example:${port}`, ''];
  await all('another host', times(90, (n) => head('GET', PATHS[n % 9], { Host: hosts[n % 6], Cookie: cookie })), [421, 400, 429]);
  await all('no host', times(10, () => head('GET', '/', { Host: null, Cookie: cookie })), [421, 400, 429]);
  const upgrade = { ...upgrading(), Cookie: cookie };
  const origins = ['http://stage.example', 'null', `https://127.0.0.1:${port}`, `http://localhost:${port}`, `http://127.0.0.1:${port + 1}`, null];
  await all('a page from elsewhere', times(90, (n) => head('GET', '/live', { ...upgrade, Origin: origins[n % 6] })), [403]);
}

async function oddRequests() {
  const of = (path, more = {}) => head('GET', path, { Cookie: cookie, ...more });
  await all('path tricks', times(120, (n) => of(TRICKS[n % TRICKS.length])), [200, 303, 307, 308, 400, 401, 404, 422]);
  await all('odd queries', times(60, (n) => of(`${['/api/moment', '/floor/FLOOR.png', '/api/zones'][n % 3]}?${QUERIES[n % 10]}`)), [200, 400, 404, 422]);
  const empty = { Cookie: cookie, 'Content-Length': '0' };
  const methods = ['POST', 'PUT', 'DELETE', 'PATCH', 'TRACE', 'BREW'];
  await all('other methods', times(60, (n) => head(methods[n % 6], PATHS[n % 9], empty)), [400, 404, 405]);
  await all('huge headers', times(10, () => of('/', { 'X-Long': 'x'.repeat(1 << 20) })), [0, 400, 431]);
  await all('many headers', times(10, () => of('/', Object.fromEntries(times(5000, (n) => [`X-${n}`, 'y'])))), [0, 400, 431]);
  await all('long addresses', times(10, () => of(`/${'a'.repeat(1 << 20)}`)), [0, 400, 414, 431]);
  const body = Buffer.alloc(4 << 20, 'x');
  const huge = () => Buffer.concat([Buffer.from(head('POST', '/', { Cookie: cookie, 'Content-Length': body.length })), body]);
  await all('huge bodies', times(8, huge), [0, 400, 404, 405, 413]);
  await all('no HTTP', times(80, (n) => Buffer.concat([randomBytes(64 + n), Buffer.from('\r\n\r\n')])), [0, 400]);
}

/** A frame of a client: masked, as it must be, unless told otherwise. */
function frame(payload, { code = 1, masked = true, claims = payload.length } = {}) {
  const long = claims > 65535 ? Buffer.alloc(8) : Buffer.alloc(claims > 125 ? 2 : 0);
  if (long.length === 8) long.writeBigUInt64BE(BigInt(claims));
  if (long.length === 2) long.writeUInt16BE(claims);
  const size = long.length === 8 ? 127 : long.length === 2 ? 126 : claims;
  const mask = masked ? randomBytes(4) : Buffer.alloc(0);
  const hidden = masked ? payload.map((byte, i) => byte ^ mask[i % 4]) : payload;
  return Buffer.concat([Buffer.from([0x80 | code, (masked ? 0x80 : 0) | size]), long, mask, hidden]);
}

const upgraded = () => head('GET', '/live', { ...upgrading(), Cookie: cookie, Origin: `http://127.0.0.1:${port}` });

const NOT_ASKS = [
  '', '{', 'null', '[]', '"go"', '{"id":1}', '{"id":-1,"ask":{"do":"undo"}}', '{"id":1,"ask":{"do":"key","key":"go"}}', '{"id":1,"ask":{"do":"key","key":"stop","down":true}}',
  '{"id":1,"ask":{"do":"key","key":"go","down":"yes"}}', '{"id":1,"ask":{"do":"key","key":"go","down":true,"more":1}}', '{"id":1,"ask":{"do":"shell","run":"id"}}',
  '{"id":1e99,"ask":{"do":"undo"}}', '{"id":1,"ask":{"do":"point","at":[1e39,0]}}', '{"id":1,"ask":{"do":"point","at":[0]}}', '{"id":1,"ask":{"do":"begin","cue":300}}',
  '{"id":1,"ask":{"do":"remark","text":""}}', `{"id":1,"ask":{"do":"remark","text":"${'x'.repeat(300)}"}}`, '{"id":1,"ask":{"do":"role","role":"\\u0000"}}',
  '{"id":1,"ask":{"do":"key","key":"go","down":true}}', '{"id":1,"ask":{"do":"edit","change":{"what":"move-prop","name":"WATCH","to":[0,0]}}}', '{"id":1,"ask":{"do":"keep","as":"../../x.toml"}}',
  '{"id":1,"ask":{"do":"drive","take":true}}', '['.repeat(15_000), `${'{"a":'.repeat(3000)}1${'}'.repeat(3000)}`, '\u{1F3AD}'.repeat(3000),
];

// Who may drive and does not: whatever is asked is refused, and what is not an ask ends the line or is refused.
async function badMessages() {
  const wait = { wait: 400 };
  const one = async (bytes) => {
    const answer = await send(Buffer.concat([Buffer.from(upgraded()), bytes]), wait);
    assert.match(answer, /^HTTP\/1\.1 (101|503)/);
    assert.ok(!/"done"/.test(answer), `something was done: ${answer.slice(-200)}`);
  };
  const frames = [
    ...NOT_ASKS.map((text) => frame(Buffer.from(text))), frame(randomBytes(200), { code: 2 }), frame(Buffer.from([0xff, 0xfe])), frame(Buffer.from('{}'), { masked: false }),
    frame(Buffer.alloc(1 << 20, 'x')), frame(Buffer.from('x'), { claims: 2 ** 40 }), frame(Buffer.from('x'), { code: 9, claims: 126 }), frame(Buffer.from('x'), { code: 5 }), randomBytes(400),
  ];
  for (let round = 0; round < 5; round += 1) {
    for (let from = 0; from < frames.length; from += 12) await Promise.all(frames.slice(from, from + 12).map(one));
  }
  counts.set('bad messages', frames.length * 5);
}

async function manySockets() {
  const idle = times(SOCKETS, (n) => {
    const socket = net.connect(port, '127.0.0.1');
    socket.on('error', () => {});
    // Every second one opens a line, the others begin a request and never end it.
    socket.on('connect', () => socket.write(n % 2 ? upgraded() : 'GET / HTTP/1.1\r\nHost: '));
    socket.on('data', () => {});
    return socket;
  });
  const answer = await send(head('GET', '/api/show', { Cookie: cookie }));
  assert.equal(status(answer), 200, 'it answers beside 200 open sockets');
  idle.forEach((socket) => socket.destroy());
  counts.set('sockets at once', SOCKETS);
}

async function state(page) {
  const [show, house, { face, pulled, people, seats }] = await Promise.all(['show', 'house', 'box'].map((kind) => told(page, kind)));
  return { revision: show.revision, unkept: show.unkept, driver: house.driver, face, pulled, people, seats };
}

await withBrowser(async (browser, address) => {
  const { page, faults } = await openAt(browser, address, '/box', '.key-go:enabled');
  port = Number(new URL(address).port);
  cookie = `underfoot-${port}=${new URL(address).searchParams.get('key')}`;
  const before = await state(page);
  for (const part of [withoutKey, fromElsewhere, oddRequests, badMessages, manySockets]) await part();
  const sum = [...counts.values()].reduce((a, b) => a + b);
  console.log(`${sum} hostile requests: ${[...counts].map(([kind, count]) => `${count} ${kind}`).join(', ')}`);
  assert.ok(sum >= 1000, `only ${sum} requests`);
  await until('everybody else has gone', async () => (await told(page, 'house')).people.length, 1);
  assert.deepEqual(await state(page), before);
  assert.equal(await ask(page, 'look', { live: true, cue: null, t_s: 0, playing: false }), null, 'the driver is still obeyed');
  assert.equal(status(await send(head('GET', '/api/show', { Cookie: cookie }))), 200);
  assert.deepEqual(faults, []);
});
