/** The board: cards with a drawing, what happens, what is heard and said, and for how long. */

import { h } from "../core/dom.js";
import { drawing } from "./board/drawing.js";
import { rows } from "./board/rows.js";

/** @type {import("../main.js").Place} */
export const board = {
  enter(root, bench, what) {
    const [scene, panel] = what.split("/");
    if (scene && panel) {
      const found = bench.desk.film?.documents.scenes[scene]?.panels.find((/** @type {any} */ one) => one.name === panel);
      if (found) return drawing(root, bench, scene, panel);
      root.append(
        h("div", { class: "paper empty" }, h("h2", {}, "No such card"), h("p", {}, `There is no card ${panel} in ${scene} any more.`), h("p", {}, h("a", { href: "/board" }, "To the board"))),
      );
      return {};
    }
    return rows(root, bench, scene ?? "");
  },
};
