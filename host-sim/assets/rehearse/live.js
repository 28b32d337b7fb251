// The line to the server: what is told and what is asked. Every page of the tool uses it.

const listeners = new Map();
const waiting = new Map();
let socket = null;
let last = 0;
let pause = 500;

/** The newest of each kind that was told: `told.show`, `told.look`, `told.box`, … */
export const told = {};

/** What the server would not do, in its words. */
export class Refusal extends Error {}

/** Calls `hear` with every notice of a kind, and at once with the newest. Kind `line` tells of the line itself. */
export function on(kind, hear) {
  if (!listeners.has(kind)) listeners.set(kind, new Set());
  listeners.get(kind).add(hear);
  if (told[kind]) hear(told[kind]);
}

/** Lets everybody who listens hear of something; parts of a page use it among themselves, too. */
export function tell(kind, body) {
  for (const hear of listeners.get(kind) ?? []) {
    try {
      hear(body);
    } catch (fault) {
      // One part of a page that fails must not keep the others from hearing.
      console.error(fault);
    }
  }
}

/** Asks for something: a promise of what was done, or a {@link Refusal}. */
export function ask(what, fields = {}) {
  if (socket?.readyState !== WebSocket.OPEN) return Promise.reject(new Refusal('the line to the server is down'));
  last += 1;
  socket.send(JSON.stringify({ id: last, ask: { do: what, ...fields } }));
  return new Promise((done, refused) => waiting.set(last, { done, refused }));
}

/** Opens the line, and opens it again whenever it breaks. */
export function connect() {
  socket = new WebSocket(`ws://${location.host}/live`);
  socket.onopen = () => {
    pause = 500;
    hold('line', { up: true });
  };
  socket.onmessage = (message) => take(JSON.parse(message.data));
  socket.onclose = () => {
    const broke = new Refusal('the line broke: it is not known whether this was done');
    for (const { refused } of waiting.values()) refused(broke);
    waiting.clear();
    hold('line', { up: false });
    setTimeout(connect, pause);
    pause = Math.min(pause * 2, 5000);
  };
}

function take(message) {
  if (message.told) return hold(message.told, { ...message, heard: performance.now() });
  // Asks are answered in order: one that could not be read has no number, and is the oldest.
  const id = message.answer ?? waiting.keys().next().value;
  const asked = waiting.get(id);
  waiting.delete(id);
  if (message.refused === undefined) asked?.done(message.done);
  else asked?.refused(new Refusal(message.refused));
}

// What passes is not kept: a ring that somebody drew a minute ago is over.
function hold(kind, body) {
  if (kind !== 'point' && kind !== 'remark') told[kind] = body;
  tell(kind, body);
}

/** True when this browser drives. */
export function drives() {
  return told.line?.up === true && told.you !== undefined && told.house?.driver === told.you.id;
}

/** Why this browser may not drive now; empty when it does. */
export function whyNot() {
  if (!told.line?.up) return 'the line to the server is down';
  if (drives()) return '';
  const driver = told.house?.people.find((person) => person.id === told.house.driver);
  if (driver) return `${driver.role} drives`;
  const me = told.house?.people.find((person) => person.id === told.you?.id);
  return me?.right === 'view' ? 'this page was opened to look only' : 'nobody drives: take it first';
}
