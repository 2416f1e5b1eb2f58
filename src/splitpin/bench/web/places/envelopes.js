/** Envelopes. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const envelopes = {
  title: "Envelopes",
  enter(root) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, "Envelopes"), h("p", {}, "Nothing lies here yet.")));
    return {};
  },
};
