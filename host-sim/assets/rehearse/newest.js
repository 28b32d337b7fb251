// Work of which only the newest matters: one at a time, and what was asked for meanwhile comes next.

/** Runs `work(wish)` for the newest wish; never two at once. */
export class Newest {
  #work;
  #busy = false;
  #next = null;

  constructor(work) {
    this.#work = work;
  }

  /** Asks for it; an older wish that has not begun is forgotten. */
  async wish(wish) {
    this.#next = { wish };
    if (this.#busy) return;
    this.#busy = true;
    while (this.#next) {
      const { wish: now } = this.#next;
      this.#next = null;
      // A fault in one piece of work must not stop those after it.
      await this.#work(now).catch((fault) => console.error(fault));
    }
    this.#busy = false;
  }
}

// A line that is down is told by the page already: here it is a picture that is not there.
async function get(address) {
  const answer = await fetch(address).catch(() => null);
  return answer?.ok ? answer : null;
}

/** JSON from the server; `null` when it has none to give. */
export async function json(address) {
  return (await get(address))?.json() ?? null;
}

/** The bytes of a picture from the server; `null` when it has none to give. */
export async function bytes(address) {
  const answer = await get(address);
  return answer ? new Uint8Array(await answer.arrayBuffer()) : null;
}

/** True for the same bytes: what shows them already need not be painted again. */
export function areSame(one, other) {
  return one === other || (one?.length === other?.length && Boolean(one) && one.every((byte, i) => byte === other[i]));
}

const packed = (png) => new Blob([png], { type: 'image/png' });

/** A picture's bytes, ready to be drawn. */
export async function bitmap(png) {
  return png && createImageBitmap(packed(png));
}

/** A picture from the server, ready to be drawn; `null` when it has none to give. */
export async function picture(address) {
  return bitmap(await bytes(address));
}

const shown = new WeakMap();

/** Shows a picture in an `<img>` once it is here; the old one stays until then. False when there is none. */
export async function show(image, address) {
  const now = await bytes(address);
  if (!now) return false;
  const old = image.src;
  if (old && areSame(now, shown.get(image))) return true;
  shown.set(image, now);
  image.src = URL.createObjectURL(packed(now));
  await image.decode().catch(() => {});
  if (old.startsWith('blob:')) URL.revokeObjectURL(old);
  return true;
}
