/** Table. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const table = {
  title: "Table",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Table"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
