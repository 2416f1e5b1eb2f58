/** Draw a card anew under somebody's hands: what had the focus has it again. */

/**
 * @param {HTMLElement} element
 * @param {...(Node | string | false)} children
 */
export function redrawn(element, ...children) {
  const fields = () => [...element.querySelectorAll("input, select, button, summary")];
  const focused = element.contains(document.activeElement) ? fields().indexOf(/** @type {Element} */ (document.activeElement)) : -1;
  element.replaceChildren(...children.flatMap((one) => (one === false || one === "" ? [] : [one])));
  const again = fields()[focused];
  if (again instanceof HTMLElement) again.focus({ preventScroll: true });
}
