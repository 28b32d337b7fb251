// Making and changing elements: the page has no inline script and no markup made of strings.

const SVG = 'http://www.w3.org/2000/svg';

/** An HTML element; attributes that are functions listen, `text` is its words. */
export function el(tag, attributes = {}, ...children) {
  return dress(document.createElement(tag), attributes, children);
}

/** The same for SVG. */
export function svg(tag, attributes = {}, ...children) {
  return dress(document.createElementNS(SVG, tag), attributes, children);
}

function dress(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) set(node, name, value);
  node.append(...children.flat().filter((child) => child || child === 0));
  return node;
}

/** Sets one attribute, unless it is so already: browsers lay out anew for the same value, too. `null` and `false` take it away. */
export function set(node, name, value) {
  if (typeof value === 'function') node.addEventListener(name.replace(/^on/, ''), value);
  else if (name === 'text') write(node, value);
  else if (value === null || value === undefined || value === false) node.removeAttribute(name);
  else if (node.getAttribute(name) !== String(value === true ? '' : value)) node.setAttribute(name, value === true ? '' : value);
}

/** Sets one property of a node or of its data, unless it is so already. */
export function become(of, name, value) {
  if (of[name] !== value) of[name] = value;
}

/** Replaces what is in a node. */
export function put(node, ...children) {
  node.replaceChildren(...children.flat().filter(Boolean));
  return node;
}

/** Writes words, and leaves them alone when they are the same: a live region is not read out twice. */
export function write(node, words) {
  const text = words ?? '';
  if (node.textContent !== text) node.textContent = text;
}

/** The element with an id. */
export function byId(id) {
  return document.getElementById(id);
}

/** True when keys that are typed go into a field. */
export function isTyping(target) {
  const types = ['checkbox', 'radio', 'range', 'button', 'submit'];
  if (target.closest?.('textarea, select, [contenteditable]')) return true;
  return target.tagName === 'INPUT' && !types.includes(target.type);
}
