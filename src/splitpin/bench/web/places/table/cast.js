/** Who is on the table, and what lies under everybody. */

import { h } from "../../core/dom.js";
import { redrawn } from "./redrawn.js";

/** @typedef {import("./stand.js").Stand} Stand */

/** @param {Stand} stand */
export function cast(stand) {
  const element = h("section", { class: "paper old table-card", "aria-label": "who is on the table" });
  let told = "";

  function draw() {
    const { documents } = /** @type {import("../../core/desk.js").Film} */ (stand.bench.desk.film);
    const says = stand.says;
    if (!says) return;
    const members = Object.keys(says.cast);
    const now = JSON.stringify([members, says.background, stand.chosen?.who, Object.keys(documents.characters), Object.keys(documents.cutouts)]);
    if (now === told) return;
    told = now;
    const parts = new Set(Object.values(documents.characters).flatMap((one) => Object.values(one.pieces).flatMap((/** @type {any} */ piece) => [piece.cutout, ...Object.values(piece.set).map((/** @type {any} */ r) => r.cutout)])));
    const loose = Object.keys(documents.cutouts).filter((name) => !parts.has(name));
    const options = (/** @type {string} */ kind, /** @type {string[]} */ names) => names.map((name) => h("option", { value: `${kind}:${name}` }, name));
    const who = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "who comes onto the table", onchange: () => layOn(who.value) },
      h("option", { value: "" }, "Lay on …"),
      h("optgroup", { label: "envelopes" }, options("character", Object.keys(documents.characters))),
      h("optgroup", { label: "cut-outs" }, options("cutout", loose)),
      h("optgroup", { label: "single pieces" }, options("cutout", [...parts].filter((name) => documents.cutouts[name])))));
    const ground = /** @type {HTMLSelectElement} */ (h("select", { onchange: () => void stand.edit("change the background", [{ path: ["background"], value: ground.value || null }]) },
      h("option", { value: "" }, "bare paper"), [...loose, ...(loose.includes(says.background) || !says.background ? [] : [says.background])].map((name) => h("option", { value: name, selected: name === says.background }, name))));
    redrawn(element,
      h("div", { class: "table-head" }, h("h3", {}, "On the table"), who),
      members.length
        ? h("ul", { class: "table-cast" }, members.map((name) => h("li", {}, h("button", { class: "plain", "aria-pressed": String(name === stand.chosen?.who), onclick: () => stand.choose({ who: name, piece: stand.rootOf(name) }) }, name))))
        : h("p", { class: "quiet" }, "Nobody yet. Lay a figure or a cut-out on, then drag it to its place."),
      stand.chosen && members.includes(stand.chosen.who) ? h("p", { class: "table-buttons" }, h("button", { onclick: () => takeOff(stand.chosen?.who ?? "") }, `Take ${stand.chosen.who} off`)) : false,
      h("label", {}, h("span", {}, "background"), ground),
    );
  }

  /** @param {string} value */
  async function layOn(value) {
    const [kind = "", name = ""] = value.split(":");
    if (!name) return;
    let who = name;
    for (let n = 2; stand.says?.cast[who] || who === "view" || who === "background"; n++) who = `${name}-${n}`;
    const { x, y } = stand.view;
    await stand.edit(`lay ${who} on`, [{ path: ["cast", who], value: { [kind]: name, x: Math.round(x), y: Math.round(y) } }]);
    if (stand.says?.cast[who]) stand.choose({ who, piece: stand.rootOf(who) });
  }

  /** A member goes with all that the scene says of it. @param {string} who */
  function takeOff(who) {
    const says = stand.says;
    const gone = (/** @type {string} */ key) =>
      says[key].map((/** @type {any} */ one, /** @type {number} */ n) => ({ n, one })).filter((/** @type {any} */ { one }) => one.who === who).reverse().map((/** @type {any} */ { n }) => ({ path: [key, n], value: null }));
    const order = says.order.filter((/** @type {string} */ one) => one !== who && !one.startsWith(`${who}.`));
    stand.choose(null);
    void stand.edit(`take ${who} off`, [
      ...gone("touches"), ...gone("moves"),
      ...(order.length < says.order.length ? [{ path: ["order"], value: order }] : []),
      { path: ["cast", who], value: null },
    ]);
  }

  for (const what of ["here", "chosen"]) stand.addEventListener(what, draw);
  return element;
}
