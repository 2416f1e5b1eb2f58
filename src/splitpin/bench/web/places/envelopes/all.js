/** All envelopes, each with its figure peeping out, and a slip to begin another. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { boxOf } from "../../core/figure.js";
import { ask } from "../../core/link.js";
import { Cutouts, drawPieces } from "../../elements/figure.js";
import { beginner } from "./begin.js";

/** @typedef {import("../../main.js").Bench} Bench */

const WIDE = 320;
const HIGH = 300;

/**
 * @param {HTMLElement} root
 * @param {Bench} bench
 * @returns {import("../../main.js").Open}
 */
export function all(root, bench) {
  const row = h("div", { class: "envelopes-row" });
  const slip = beginner(bench);
  root.append(
    h("div", { class: "envelopes-head" }, h("h1", {}, "Envelopes"), h("p", { class: "quiet" }, "One for each figure, with every loose piece that it needs on the table.")),
    row,
  );
  /** @type {(() => void)[]} */
  let paint = [];
  const cutouts = new Cutouts(() => paint.forEach((one) => one()));

  async function read() {
    const revision = bench.desk.film?.revision;
    const told = await ask("GET", "characters");
    if (bench.desk.film?.revision !== revision) return;
    paint = [];
    row.replaceChildren(
      ...told.characters.map((/** @type {any} */ one) => {
        const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { width: WIDE * 2, height: HIGH * 2, "aria-hidden": "true" }));
        paint.push(() => peep(canvas, one.placed, cutouts));
        return envelope(one, canvas);
      }),
      ...told.mistakes.map((/** @type {string} */ name) =>
        h("div", { class: "envelopes-one envelopes-torn" }, h("div", { class: "envelopes-label typed" }, name), h("p", {}, "Its pieces do not hang together; the Reel tells why.")),
      ),
      slip.element,
    );
    paint.forEach((one) => one());
    slip.read();
  }

  void bench.attempt(read);
  return {
    keys: [{ key: "N", name: "begin another character", does: () => slip.focus() }],
    film: () => void bench.attempt(read),
  };
}

/**
 * @param {any} one
 * @param {HTMLCanvasElement} canvas
 */
function envelope(one, canvas) {
  const count = `${one.pieces} ${one.pieces === 1 ? "piece" : "pieces"}, ${one.cutouts} cut-outs`;
  return h(
    "a",
    { class: "envelopes-one", href: write("envelopes", one.name), "aria-label": `${one.title}: ${count}` },
    h("span", { class: "envelopes-back" }),
    canvas,
    h("span", { class: "envelopes-front" }, h("span", { class: "envelopes-label" }, h("b", { class: "typed" }, one.title), h("small", {}, count))),
    h("i", { class: "envelopes-button" }),
    h("i", { class: "envelopes-button low" }),
  );
}

/**
 * The figure, upright, as large as the envelope lets it.
 *
 * @param {HTMLCanvasElement} canvas
 * @param {import("../../core/figure.js").Piece[]} placed
 * @param {Cutouts} cutouts
 */
function peep(canvas, placed, cutouts) {
  const pen = canvas.getContext("2d");
  if (!pen) return;
  for (const one of placed) cutouts.image(one.cutout, one.version ?? 0);
  const box = boxOf(placed, (name) => {
    const image = cutouts.kept.get(name)?.image;
    return { width: image?.naturalWidth ?? 0, height: image?.naturalHeight ?? 0 };
  });
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.clearRect(0, 0, canvas.width, canvas.height);
  const scale = Math.min((canvas.width * 0.94) / Math.max(1, box.width), (canvas.height * 0.98) / Math.max(1, box.height));
  pen.setTransform(scale, 0, 0, -scale, canvas.width / 2 - (box.left + box.width / 2) * scale, canvas.height * 0.01 + box.top * scale);
  pen.shadowColor = "rgb(60 50 30 / 0.35)";
  pen.shadowBlur = 7;
  pen.shadowOffsetX = 3;
  pen.shadowOffsetY = 3;
  drawPieces(pen, placed, cutouts);
}
