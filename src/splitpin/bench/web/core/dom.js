/** Build elements: `h("a", {href: "/reel"}, "Reel")`. */

/** @typedef {Node | string | number | null | undefined | false | Child[]} Child */

/**
 * Make an element.
 *
 * @param {string} tag
 * @param {Record<string, unknown>} [attributes] Names beginning with `on` are listeners, `class` and `data-*` as in
 *   HTML; true and false set and leave out; anything else is a text.
 * @param {...Child} children
 * @returns {HTMLElement}
 */
export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on") && typeof value === "function")
      element.addEventListener(name.slice(2), /** @type {EventListener} */ (value));
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  add(element, children);
  return element;
}

/**
 * @param {Element} element
 * @param {Child} child
 */
function add(element, child) {
  if (Array.isArray(child)) for (const one of child) add(element, one);
  else if (child !== null && child !== undefined && child !== false)
    element.append(child instanceof Node ? child : String(child));
}
