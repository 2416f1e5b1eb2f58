/** Cutting mat. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const mat = {
  title: "Cutting mat",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Cutting mat"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
