/** Pictures. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const pictures = {
  title: "Pictures",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Pictures"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
