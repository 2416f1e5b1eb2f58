/** Cutting mat: choose what to cut from, cut it, part it at its joints. */

import { choose } from "./mat/choose.js";
import { cutting } from "./mat/cutting.js";
import { parting } from "./mat/parting.js";

/** @type {import("../main.js").Place} */
export const mat = {
  enter(root, bench, what) {
    if (!what) return choose(root, bench);
    const [first = "", ...rest] = what.split("/");
    const name = rest.join("/");
    if (name && first === "split") return parting(root, bench, name);
    return name && first === "cutout" ? cutting(root, bench, { cutout: name }) : cutting(root, bench, { picture: what });
  },
};
