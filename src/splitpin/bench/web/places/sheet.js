/** Sheet. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const sheet = {
  title: "Sheet",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Sheet"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
