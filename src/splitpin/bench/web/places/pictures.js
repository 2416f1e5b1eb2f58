/** Pictures: what was found, as prints on the desk, each with its card; one of them on the light table. */

import { openOne } from "./pictures/one.js";
import { prints } from "./pictures/prints.js";

/** @type {import("../main.js").Place} */
export const pictures = {
  enter: (root, bench, what) => (what ? openOne(root, bench, what) : prints(root, bench)),
};
