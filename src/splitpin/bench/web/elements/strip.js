/** The guide strip along the top: the film, the places in the order of the work, undo and redo. */

import { write } from "../core/address.js";
import { h } from "../core/dom.js";

/**
 * @param {HTMLElement} root
 * @param {import("../main.js").Bench} bench
 * @param {Record<string, import("../main.js").Listed>} places
 * @param {string} current
 * @param {() => void} keys
 * @param {() => void} steps
 * @param {() => void} print
 */
export function strip(root, bench, places, current, keys, steps, print) {
  const { desk } = bench;
  const film = desk.film;
  const history = film?.history;
  const held = root.contains(document.activeElement) ? document.activeElement?.textContent : null;
  root.replaceChildren(
    h("a", { class: "film", href: "/shelf", title: film ? `${film.folder}: to the shelf` : "the shelf" }, film ? film.film.title : "splitpin"),
    h(
      "nav",
      { "aria-label": "places" },
      film &&
        h(
          "ol",
          {},
          Object.entries(places)
            .filter(([, one]) => !one.alone)
            .map(([name, one], n) =>
              h("li", {}, h("a", { href: write(name), "aria-current": name === current ? "page" : false }, h("small", {}, n + 1), one.title)),
            ),
        ),
    ),
    h(
      "div",
      { class: "hands" },
      !desk.line && h("span", { class: "mark", role: "alert" }, "no line"),
      film && [
        h("button", { class: "plain", disabled: !history?.undo, title: history?.undo ? `take back: ${history.undo} (Ctrl+Z)` : "nothing to take back", onclick: () => bench.attempt(() => desk.undo()) }, "Undo"),
        h("button", { class: "plain", disabled: !history?.redo, title: history?.redo ? `do again: ${history.redo} (Ctrl+Shift+Z)` : "nothing to do again", onclick: () => bench.attempt(() => desk.redo()) }, "Redo"),
        h("button", { class: "plain", title: "everything that was done (Ctrl+Alt+Z)", onclick: steps }, "Steps"),
        h("button", { class: "plain", title: "print the paper kit (Ctrl+P)", onclick: print }, "Print"),
      ],
      h("button", { class: "plain", title: "keys (?)", "aria-label": "keys", onclick: keys }, "?"),
    ),
  );  // Whoever undoes by keyboard stays on the button.
  if (held) [.../** @type {NodeListOf<HTMLElement>} */ (root.querySelectorAll("a, button"))].find((one) => one.textContent === held)?.focus();
}
