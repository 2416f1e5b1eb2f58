/** Every action by a key, and the card that tells them. */

/**
 * @typedef {object} Action
 * @property {string} key As people read it: `Space`, `Shift+ArrowLeft`, `Ctrl+Z` (Ctrl is Command on a Mac).
 * @property {string} name What it does.
 * @property {(event: KeyboardEvent) => void} does
 */

/**
 * The name of what was pressed: modifiers in the order Ctrl, Alt, Shift.
 *
 * @param {Pick<KeyboardEvent, "key" | "ctrlKey" | "metaKey" | "altKey" | "shiftKey">} event
 */
export function named(event) {
  const key = event.key === " " ? "Space" : event.key.length === 1 ? event.key.toUpperCase() : event.key;
  // What needs Shift to be typed, such as a question mark, is told by itself.
  const shift = event.shiftKey && (event.key.length > 1 || /[a-z0-9 ]/i.test(event.key));
  return [event.ctrlKey || event.metaKey ? "Ctrl" : "", event.altKey ? "Alt" : "", shift ? "Shift" : "", key]
    .filter(Boolean)
    .join("+");
}

/**
 * Whether a key belongs to what is being typed into, and to nobody else.
 *
 * @param {string} name As `named` tells it.
 * @param {EventTarget | null} target
 */
export function typing(name, target) {
  if (!(target instanceof HTMLElement)) return false;
  const field = target.closest("input:not([type=range]):not([type=checkbox]):not([type=radio]), textarea, select");
  if (field || target.isContentEditable) return name !== "Escape";
  return (name === "Space" || name === "Enter") && target.closest("button, a, summary, input") !== null;
}
