/** Board. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const board = {
  title: "Board",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Board"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
