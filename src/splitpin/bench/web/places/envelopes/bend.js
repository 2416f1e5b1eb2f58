/** Bend a joint through its range; where the table would show through is marked under the slider. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

/**
 * @param {import("./opened.js").Opened} one
 * @param {(placed: import("../../core/figure.js").Piece[] | null) => void} lie
 */
export function bender(one, lie) {
  const slider = /** @type {HTMLInputElement} */ (h("input", { type: "range", min: 0, step: 1, "aria-label": "bend the joint", oninput: () => at(Number(slider.value)) }));
  const marks = /** @type {HTMLCanvasElement} */ (h("canvas", { class: "envelopes-gaps", height: 20, "aria-hidden": "true" }));
  const told = h("p", { "aria-live": "polite" });
  const angle = h("output", { class: "typed" });
  const element = h("div", { class: "envelopes-bend" }, h("h4", {}, "Bend it"), h("div", { class: "envelopes-slide" }, slider, angle), marks, told);
  /** @type {any} */
  let swept = null;
  let revision = -1;

  const resting = () => Math.max(0, swept?.bent.findIndex((/** @type {any} */ b) => b.angle === 0) ?? 0);

  /** @param {number} n */
  function at(n) {
    const bent = swept?.bent[n];
    if (!bent) return;
    slider.value = String(n);
    angle.textContent = `${bent.angle > 0 ? "+" : ""}${bent.angle.toFixed(0)}°`;
    slider.setAttribute("aria-valuetext", `${angle.textContent}${bent.open ? ", open" : ""}`);
    angle.classList.toggle("mark", bent.open);
    tell(bent);
    lie(bent.angle === 0 ? null : bent.placed);
  }

  /** @param {any} bent How it is bent now. */
  function tell(bent) {
    const open = swept.bent.filter((/** @type {any} */ b) => b.open);
    const [low, high] = [swept.bent[0].angle, swept.bent.at(-1).angle];
    const ends = swept.clear.filter((/** @type {number} */ a, /** @type {number} */ n) => a !== [low, high][n]);
    told.className = open.length ? "mark" : "quiet";
    told.textContent = !swept.radius_mm
      ? "Its pin lies on no paper that both pieces share."
      : bent.open
        ? `The table shows through here: ${bent.gap_mm2.toFixed(1)} mm². Let the pieces overlap more, or set limits.`
        : open.length
          ? `It opens beyond ${ends.map((/** @type {number} */ a) => `${a}°`).join(" and ")}: let the pieces overlap more, or set limits.`
          : `Closed from ${low}° to ${high}°.`;
  }

  function mark() {
    const pen = marks.getContext("2d");
    marks.width = Math.max(200, marks.clientWidth * 2);
    if (!pen) return;
    const wide = marks.width / swept.bent.length;
    const worst = Math.max(1e-6, ...swept.bent.map((/** @type {any} */ b) => b.gap_mm2));
    swept.bent.forEach((/** @type {any} */ b, /** @type {number} */ n) => {
      pen.fillStyle = b.open ? "#a5311f" : "#3d6a41";
      const high = b.open ? 5 + (13 * b.gap_mm2) / worst : 3;
      pen.fillRect(n * wide, 0, wide + 0.5, high);
    });
  }

  async function read() {
    const piece = one.chosen();
    revision = one.bench.desk.film?.revision ?? -1;
    const asked = revision;
    const found = await ask("GET", `characters/${encodeURIComponent(one.name)}/joints/${encodeURIComponent(piece)}`);
    if (piece !== one.chosen() || asked !== revision) return;
    swept = found;
    slider.max = String(swept.bent.length - 1);
    mark();
    at(resting());
  }

  return {
    element,
    show() {
      if (swept?.piece === one.chosen() && revision === one.bench.desk.film?.revision) return;
      swept = null;
      lie(null);
      angle.textContent = "";
      told.textContent = "";
      element.hidden = one.chosen() === one.told().root;
      if (!element.hidden) void one.bench.attempt(read);
    },
    /** @param {number} by */
    step(by) {
      if (swept) at(Math.max(0, Math.min(swept.bent.length - 1, Number(slider.value) + by)));
    },
    rest() {
      if (swept) at(resting());
    },
  };
}
