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
      try {
        await this.#work(now);
      } catch (fault) {
        if (!(fault instanceof TypeError)) console.error(fault);
      }
    }
    this.#busy = false;
  }
}

/** JSON from the server; `null` when it has none to give. */
export async function json(address) {
  const answer = await fetch(address);
  return answer.ok ? answer.json() : null;
}

/** A picture from the server, ready to be drawn; `null` when it has none to give. */
export async function picture(address) {
  const answer = await fetch(address);
  return answer.ok ? createImageBitmap(await answer.blob()) : null;
}

/** Shows a picture in an `<img>` once it is here; the old one stays until then. False when there is none. */
export async function show(image, address) {
  const answer = await fetch(address);
  if (!answer.ok) return false;
  const old = image.src;
  image.src = URL.createObjectURL(await answer.blob());
  await image.decode().catch(() => {});
  if (old.startsWith('blob:')) URL.revokeObjectURL(old);
  return true;
}
