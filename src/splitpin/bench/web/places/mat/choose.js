/** What may be laid on the mat: found pictures to cut from, cut-outs to go on with. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @returns {import("../../main.js").Open}
 */
export function choose(root, bench) {
  const body = h("div", { class: "mat-choose" });
  root.append(body);
  let here = true;
  const film = () =>
    void bench.attempt(async () => {
      const [found, made] = await Promise.all([ask("GET", "pictures"), ask("GET", "mat/cutouts")]);
      if (!here) return;
      const again = made.cutouts.filter((/** @type {any} */ one) => one.kind === "cut");
      const others = made.cutouts.filter((/** @type {any} */ one) => one.kind !== "cut");
      const pictures = found.pictures.filter((/** @type {any} */ one) => one.width);
      if (!pictures.length && !made.cutouts.length) {
        body.replaceChildren(h("div", { class: "paper empty" }, h("h2", {}, "The mat is empty"), h("p", {}, "Bring a picture first; then draw a rough loop around what you want of it."), h("a", { class: "button first", href: "/pictures" }, "Bring pictures")));
        return;
      }
      body.replaceChildren(
        h("header", {}, h("h1", {}, "What shall be cut?"), h("p", { class: "quiet" }, "Take a picture and draw a rough loop around the thing, or go on with a cut-out where you left it.")),
        shelf("Found pictures", pictures.map((/** @type {any} */ one) => item(write("mat", one.name), `/api/pictures/${encodeURIComponent(one.name)}/print.jpg?side=520&stamp=${one.stamp}`, one.name, "photo"))),
        shelf("Cut-outs, to go on with", again.map((/** @type {any} */ one) => item(write("mat", `cutout/${one.name}`), cutoutAt(one), one.name, "cut"))),
        shelf("Other pieces, to part at their joints", others.map((/** @type {any} */ one) => item(write("mat", `split/${one.name}`), cutoutAt(one), one.name, "cut"))),
      );
    });
  film();
  return { film, leave: () => void (here = false) };
}

/** @param {string} title @param {HTMLElement[]} items */
function shelf(title, items) {
  return h("section", { hidden: !items.length }, h("h2", {}, title), h("div", { class: "mat-row" }, items));
}

/** @param {string} href @param {string} src @param {string} name @param {string} kind */
function item(href, src, name, kind) {
  return h("a", { class: `mat-item ${kind}`, href }, h("span", {}, h("img", { src, alt: "", loading: "lazy", draggable: "false" })), h("b", {}, name));
}

/** @param {{name: string, stamp: string}} one */
function cutoutAt(one) {
  return `/api/files/cutouts/${encodeURIComponent(one.name)}.png?${one.stamp}`;
}
