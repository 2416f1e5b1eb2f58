/** The camera: shooting real paper. */

import { h } from "../core/dom.js";

/** @type {import("../main.js").Place} */
export const camera = {
  enter(root) {
    root.append(
      h(
        "div",
        { class: "paper empty" },
        h("h2", {}, "No camera looks down yet"),
        h("p", {}, "What is shot of real paper goes into the film's folder takes/, a folder for each scene, and takes its place in the film at once: the Reel shows it in green."),
        h("p", { class: "quiet" }, "A camera, or a folder that a phone or another program writes into, will be seen here."),
      ),
    );
    return {};
  },
};
