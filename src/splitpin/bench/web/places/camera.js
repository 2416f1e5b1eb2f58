/** Camera. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const camera = {
  title: "Camera",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Camera"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
