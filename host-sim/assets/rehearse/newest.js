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

/** A picture from the server, ready to be drawn; `null` when it has none to give. */
export async function picture(address) {
  const answer = await get(address);
  return answer ? createImageBitmap(await answer.blob()) : null;
}

/** Shows a picture in an `<img>` once it is here; the old one stays until then. False when there is none. */
export async function show(image, address) {
  const answer = await get(address);
  if (!answer) return false;
  const old = image.src;
  image.src = URL.createObjectURL(await answer.blob());
  await image.decode().catch(() => {});
  if (old.startsWith('blob:')) URL.revokeObjectURL(old);
  return true;
}
