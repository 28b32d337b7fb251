// Doing again only what has to be: a page that is looked at for hours must not work while nothing changes.

const kept = new WeakMap();

/**
 * Fills a node with one child for each item. `sign` says in words all that a child shows: those with the same words stay
 * the nodes that they are, with their focus and their place, and only the others are made.
 */
export function refill(parent, items, sign, make) {
  const [old, now] = [kept.get(parent) ?? new Map(), new Map()];
  const nodes = items.map((item) => {
    let words = sign(item);
    while (now.has(words)) words += ' again';
    const node = old.get(words) ?? make(item);
    now.set(words, node);
    return node;
  });
  kept.set(parent, now);
  arrange(parent, nodes);
  return nodes;
}

function arrange(parent, nodes) {
  const wanted = new Set(nodes);
  for (const child of [...parent.childNodes]) if (!wanted.has(child)) child.remove();
  let at = parent.firstChild;
  for (const node of nodes) {
    if (node === at) at = at.nextSibling;
    else parent.insertBefore(node, at);
  }
}

/** Makes of `work` what is done once before the next picture on the screen, however often it is asked for until then. */
export function soon(work) {
  let waits = false;
  return () => {
    if (waits) return;
    waits = true;
    requestAnimationFrame(() => {
      waits = false;
      work();
    });
  };
}

/** Makes of `work(value)` what is done only for a value that is not the same as the last, as JSON has it. */
export function onChange(work) {
  let last;
  return (value) => {
    const now = JSON.stringify(value);
    if (now === last) return;
    last = now;
    work(value);
  };
}
