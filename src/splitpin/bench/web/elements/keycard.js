/** The card of keys. */

import { h } from "../core/dom.js";

/** @typedef {import("../core/keys.js").Action} Action */

/**
 * @param {Action[]} everywhere
 * @param {Action[]} here
 * @param {string} title Of the place.
 */
export function showKeys(everywhere, here, title) {
  const rows = (/** @type {string} */ head, /** @type {Action[]} */ actions) =>
    actions.length > 0 && [
      h("tr", {}, h("th", { colspan: 2 }, head)),
      actions.map((one) => h("tr", {}, h("td", {}, keys(one.key)), h("td", {}, one.name))),
    ];
  const card = /** @type {HTMLDialogElement} */ (
    h("dialog", { class: "keycard", "aria-label": "keys" }, h("h2", { tabindex: -1, autofocus: true }, "Keys"), h("table", {}, rows(title, here), rows("Everywhere", everywhere)), h("form", { method: "dialog" }, h("p", {}), h("button", {}, "Away with it")))
  );
  card.addEventListener("close", () => card.remove());
  document.body.append(card);
  card.showModal();
}

/** @param {string} key */
function keys(key) {
  const mac = /Mac|iPad/.test(navigator.platform);
  return key.split(/\+(?=.)/).map((part) => [h("kbd", {}, mac && part === "Ctrl" ? "⌘" : part.replace("Arrow", "")), " "]);
}
