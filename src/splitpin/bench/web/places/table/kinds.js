/** The card of all moves, each with a little moving picture of what it does. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { vocabulary } from "./form.js";

const WIDTH = 176;
const RATE = 24;

/** @typedef {[number, [string, number, number, number, number, number, number][], [number, number, number, number]]} Moment */
/** @typedef {{width: number, height: number, path: string, colour: string}} Shape */

/** @type {Promise<{stage: {width: number, height: number, field_mm: number}, shapes: Record<string, Shape>, samples: Record<string, Moment[]>}> | null} */
let known = null;

function samples() {
  known ??= ask("GET", "moves/samples").catch((problem) => {
    known = null;
    throw problem;
  });
  return known;
}

/**
 * Show all moves; the one that is taken is told.
 *
 * @param {(kind: string) => void} taken
 */
export async function kinds(taken) {
  const [{ moves }, { stage, shapes, samples: shown }] = await Promise.all([vocabulary(), samples()]);
  const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
  const dialog = /** @type {HTMLDialogElement} */ (h("dialog", { class: "kinds", "aria-label": "kinds of moves" }));
  const cards = moves
    .filter((one) => one.move !== "posed")
    .map((one) => {
      const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { "aria-hidden": "true" }));
      const stop = moving(canvas, shown[one.move] ?? [], stage, shapes);
      const card = h("button", { class: "kind", title: one.told, onclick: () => {
        dialog.close();
        taken(one.move);
      } }, canvas, h("b", {}, one.move), h("span", {}, one.summary));
      if (!still) {
        for (const begin of ["pointerenter", "focus"]) card.addEventListener(begin, stop.play);
        for (const end of ["pointerleave", "blur"]) card.addEventListener(end, stop.rest);
      }
      return card;
    });
  dialog.append(
    h("div", { class: "table-head" }, h("h2", {}, "Kinds of moves"), h("form", { method: "dialog" }, h("button", { class: "plain" }, "Away with it"))),
    h("p", { class: "quiet" }, still ? "Each picture shows where things lie one after the other." : "Point at one to see it move. Whatever is chosen on the table will do it from the next exposure on."),
    h("div", { class: "kinds-cards" }, cards),
  );
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  cards[0]?.focus();
}

/**
 * A moving picture; at rest it shows several positions at once.
 *
 * @param {HTMLCanvasElement} canvas
 * @param {Moment[]} moments
 * @param {{width: number, height: number, field_mm: number}} stage
 * @param {Record<string, Shape>} shapes
 */
function moving(canvas, moments, stage, shapes) {
  const fine = 2;
  canvas.width = WIDTH * fine;
  canvas.height = (WIDTH * fine * stage.height) / stage.width;
  const pen = canvas.getContext("2d");
  const paths = Object.fromEntries(Object.entries(shapes).map(([name, one]) => [name, new Path2D(one.path)]));
  let begun = 0;
  let ticking = 0;

  /** @param {Moment} moment @param {number} strength */
  function lay([, placed, [x, y, width, angle]], strength) {
    if (!pen) return;
    pen.save();
    const scale = canvas.width / width;
    pen.globalAlpha = strength;
    pen.translate(canvas.width / 2, canvas.height / 2);
    pen.rotate((angle * Math.PI) / 180);
    pen.scale(scale, -scale);
    pen.translate(-x, -y);
    for (const [name, ...m] of placed) {
      const path = paths[name];
      if (!path) continue;
      pen.save();
      pen.transform(...m);
      pen.fillStyle = shapes[name]?.colour ?? "#000";
      pen.fill(path);
      if (name === "coin" || name === "face") {
        pen.strokeStyle = "rgb(60 45 15 / 0.65)";
        pen.lineWidth = 0.9;
        pen.stroke(path);
      }
      pen.restore();
    }
    pen.restore();
  }

  function clear() {
    if (!pen) return;
    pen.fillStyle = "#f4ecda";
    pen.fillRect(0, 0, canvas.width, canvas.height);
  }

  function rest() {
    cancelAnimationFrame(ticking);
    clear();
    const last = moments.length - 1;
    const shares = [0.22, 0.36, 0.5, 0.64];
    const different = new Set(moments.map((one) => JSON.stringify(one.slice(1)))).size > 1;
    if (different) for (const share of shares) {
      const one = moments[Math.round(last * share)];
      if (one) lay(one, 0.2);
    }
    const end = moments[Math.round(last * 0.72)];
    if (end) lay(end, 1);
  }

  /** @param {number} now */
  function tick(now) {
    const total = moments.reduce((sum, [frames]) => sum + frames, 0);
    let frame = (((now - begun) / 1000) * RATE) % Math.max(1, total);
    const one = moments.find(([frames]) => (frame -= frames) < 0);
    clear();
    if (one) lay(one, 1);
    ticking = requestAnimationFrame(tick);
  }

  rest();
  return {
    rest,
    play() {
      cancelAnimationFrame(ticking);
      begun = performance.now();
      ticking = requestAnimationFrame(tick);
    },
  };
}
