/** The figure at rest on squared paper: pieces are laid by dragging, pins are set by a click. */

import { h } from "../../core/dom.js";
import { boxOf, touched } from "../../core/figure.js";
import { easel } from "../../elements/easel.js";
import { Cutouts, drawPieces } from "../../elements/figure.js";

/** @typedef {import("../../core/figure.js").Piece} Piece */

const BESIDE = 0.14;
/** So much of the figure's size stays free around it, for pieces that are laid further out. */

/** @param {import("./opened.js").Opened} one */
export function layout(one) {
  let pinning = false;
  /** @type {Piece[] | null} */
  let bent = null;
  /** @type {{piece: string, from: [number, number], by: [number, number]} | null} */
  let drag = null;
  /** @type {import("../../core/figure.js").Box} */
  let box = { left: -50, top: 50, width: 100, height: 100 };
  const hint = h("p", { class: "envelopes-hint typed", "aria-live": "polite" });
  const size = (/** @type {string} */ name) => one.bench.desk.film?.documents.cutouts[name] ?? { width: 0, height: 0 };
  const cutouts = new Cutouts(() => stand.redraw());

  const stand = easel(
    { name: "the figure at rest", size: () => box, draw },
    {
      down({ x, y }) {
        const told = one.told();
        if (!told) return;
        const at = plane(x, y);
        if (pinning) {
          setPinning(false);
          void one.change({ do: "pin", piece: one.chosen(), x: at[0], y: at[1] });
          return;
        }
        const piece = touched(told.placed, ...at, (name, u, v) => cutouts.paper(name, u, v));
        if (!piece) return;
        bent = null;
        one.choose(piece);
        if (piece !== told.root) drag = { piece, from: at, by: [0, 0] };
      },
      move({ x, y }) {
        if (!drag) return;
        const at = plane(x, y);
        drag.by = [at[0] - drag.from[0], at[1] - drag.from[1]];
        stand.redraw();
      },
      up({ unit }) {
        const done = drag;
        if (!done) return;
        // A hand that only trembles has not laid anything elsewhere.
        if (Math.hypot(...done.by) < 3 * unit) {
          drag = null;
          stand.redraw();
        } else void lay(done.piece, ...done.by).finally(() => (drag = null));
      },
      lost() {
        drag = null;
        stand.redraw();
      },
    },
  );
  const element = h("section", { class: "paper envelopes-sheet", "aria-label": "the figure" }, stand.element, hint);

  /**
   * @param {number} x
   * @param {number} y
   * @returns {[number, number]}
   */
  const plane = (x, y) => [box.left + x, box.top - y];

  /**
   * @param {string} piece
   * @param {number} right
   * @param {number} up
   */
  function lay(piece, right, up) {
    const pin = one.told().placed.find((/** @type {Piece} */ p) => p.piece === piece)?.pin;
    if (!pin) return Promise.resolve();
    return one.change({ do: "lay", piece, x: pin[0] + right, y: pin[1] + up });
  }

  /** @param {boolean} on */
  function setPinning(on) {
    pinning = on && one.told() !== null;
    stand.canvas.style.cursor = pinning ? "crosshair" : "";
    hint.textContent = pinning ? `Click where ${one.chosen()} shall turn.` : "";
    stand.redraw();
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {import("../../core/view.js").View} view
   */
  function draw(pen, view) {
    const told = one.told();
    if (!told) return;
    squares(pen, view, box);
    pen.translate(-box.left, box.top);
    pen.scale(1, -1);
    const below = new Set(told.below[one.chosen()] ?? []);
    const turned = new Map((bent ?? []).map((p) => [p.piece, p]));
    for (const p of /** @type {Piece[]} */ (told.placed)) {
      pen.save();
      if (drag && told.below[drag.piece]?.includes(p.piece)) pen.translate(...drag.by);
      drawPieces(pen, [turned.get(p.piece) ?? p], cutouts, () => (pinning && !below.has(p.piece) ? 0.35 : 1));
      pen.restore();
    }
    pins(pen, told, 1 / view.scale);
  }

  /**
   * A brass pin through every joint; the one of the piece in hand is ringed.
   *
   * @param {CanvasRenderingContext2D} pen
   * @param {any} told
   * @param {number} unit
   */
  function pins(pen, told, unit) {
    const turned = new Map((bent ?? []).map((p) => [p.piece, p]));
    for (const p of /** @type {Piece[]} */ (told.placed)) {
      let [x, y] = (turned.get(p.piece) ?? p).pin;
      if (drag && told.below[drag.piece]?.includes(p.piece)) {
        x += drag.by[0];
        y += drag.by[1];
      }
      const mine = p.piece === one.chosen();
      const r = (mine ? 7 : 5) * unit;
      const brass = pen.createRadialGradient(x - r * 0.3, y + r * 0.4, 0, x, y, r);
      brass.addColorStop(0, "#f6e3ab");
      brass.addColorStop(0.5, "#c79a3f");
      brass.addColorStop(1, "#7d5a1c");
      pen.beginPath();
      pen.arc(x, y, r, 0, 7);
      pen.fillStyle = brass;
      pen.fill();
      pen.lineWidth = unit;
      pen.strokeStyle = "#4b3710";
      pen.stroke();
      if (mine) {
        for (const [width, colour] of /** @type {[number, string][]} */ ([[5, "#fcf9f1"], [2.5, "#285380"]])) {
          pen.beginPath();
          pen.arc(x, y, 13 * unit, 0, 7);
          pen.lineWidth = width * unit;
          pen.strokeStyle = colour;
          pen.stroke();
        }
      }
    }
  }

  return {
    element,
    keys: stand.keys,
    isPinning: () => pinning,
    pinning: setPinning,
    /** @param {Piece[] | null} placed The pieces that are bent, as they lie then. */
    bend(placed) {
      bent = placed;
      stand.redraw();
    },
    /**
     * @param {number} right Millimetres.
     * @param {number} up
     */
    push(right, up) {
      if (one.told() && one.chosen() !== one.told().root) void lay(one.chosen(), right, up);
    },
    show() {
      const found = boxOf(one.told().placed, size);
      const room = BESIDE * Math.max(found.width, found.height);
      const next = { left: found.left - room, top: found.top + room, width: found.width + 2 * room, height: found.height + 2 * room };
      const same = Math.abs(next.left - box.left) + Math.abs(next.top - box.top) + Math.abs(next.width - box.width) < 1e-6;
      box = next;
      if (same || drag) stand.redraw();
      else stand.fit();
    },
  };
}

/**
 * Squared paper: 10 mm and, near by, 1 mm.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {import("../../core/view.js").View} view
 * @param {import("../../core/figure.js").Box} box
 */
function squares(pen, view, box) {
  const left = -view.x / view.scale;
  const top = -view.y / view.scale;
  const right = left + pen.canvas.clientWidth / view.scale;
  const low = top + pen.canvas.clientHeight / view.scale;
  for (const [step, ink] of /** @type {[number, string][]} */ ([[1, "#e9eef0"], [10, "#cfdbe1"]])) {
    if (step * view.scale < 5) continue;
    pen.beginPath();
    const first = (/** @type {number} */ edge, /** @type {number} */ zero) => zero + Math.ceil((edge - zero) / step) * step;
    for (let x = first(left, -box.left); x <= right; x += step) {
      pen.moveTo(x, top);
      pen.lineTo(x, low);
    }
    for (let y = first(top, box.top); y <= low; y += step) {
      pen.moveTo(left, y);
      pen.lineTo(right, y);
    }
    pen.lineWidth = 1 / view.scale;
    pen.strokeStyle = ink;
    pen.stroke();
  }
}
