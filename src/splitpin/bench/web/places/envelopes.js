/** The envelopes: one for each character, its pieces laid out and pinned together when it is opened. */

import { all } from "./envelopes/all.js";
import { opened } from "./envelopes/opened.js";

/** @type {import("../main.js").Place} */
export const envelopes = {
  enter(root, bench, what, query) {
    const name = what.split("/")[0] ?? "";
    return name ? opened(root, bench, name, query) : all(root, bench);
  },
};
