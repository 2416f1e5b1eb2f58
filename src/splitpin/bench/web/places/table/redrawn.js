/** Draw a card anew under somebody's hands: what had the focus has it again, with what was being typed. */

/**
 * @param {HTMLElement} element
 * @param {...(Node | string | false)} children
 */
export function redrawn(element, ...children) {
  const fields = () => [...element.querySelectorAll("input, select, button, summary")];
  const old = document.activeElement;
  const focused = old && element.contains(old) ? fields().indexOf(old) : -1;
  element.replaceChildren(...children.flatMap((one) => (one === false || one === "" ? [] : [one])));
  const again = fields()[focused];
  if (!(again instanceof HTMLElement)) return;
  again.focus({ preventScroll: true });
  if (!typed(old) || !typed(again)) return;
  if (old.value !== old.defaultValue) again.value = old.value;
  // A field that nobody has typed into yet is taken as a whole, as one that is stepped into with Tab.
  else again.select();
}

/**
 * @param {unknown} field
 * @returns {field is HTMLInputElement}
 */
function typed(field) {
  return field instanceof HTMLInputElement && ["text", "number"].includes(field.type);
}
