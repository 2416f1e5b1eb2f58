/** Whose pictures and sounds are seen and heard. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

/** @param {import("../../main.js").Bench} bench */
export function credits(bench) {
  const element = h("section", { class: "paper old reel-whose", "aria-label": "credits" });

  async function read() {
    const told = bench.desk.film?.mistakes.length ? null : await ask("GET", "credits").catch(() => null);
    element.hidden = !told;
    if (!told) return;
    element.replaceChildren(
      h("h2", {}, "Credits"),
      ...told.unresolved.map((/** @type {any} */ one) =>
        h("p", {}, h("span", { class: "mark" }, "? "), one.kind === "picture" ? h("a", { href: write("pictures", one.name) }, one.name) : h("b", {}, one.name), `: ${one.unresolved.join(", ")} not known`),
      ),
      h("pre", { class: "roll", tabindex: "0" }, told.roll),
    );
  }

  return { element, read };
}
