/** The light table: a scan before and after, with the line that shall be level and the box that is kept. */

import { angleOf, dragged, HANDLES, handleAt, lineOf } from "../../core/fitting.js";
import { easel } from "../../elements/easel.js";

/** @typedef {import("../../core/fitting.js").Fit} Fit */
/** @typedef {"wipe" | "line" | "crop" | "white" | "black"} Way */

const NEAR = 16;
const PENCIL = "#1f3d63";
const BRASS = "#b48a36";

/**
 * @param {{size: {width: number, height: number}, name: string, changed: (fit: Partial<Fit>) => void, picked: (way: "white" | "black", tone: [number, number, number]) => void, nearer: (scale: number) => void}} told
 *   `changed` is called once a line or a box is let go; `nearer` when one looks from another distance.
 */
export function light(told) {
  const { size } = told;
  /** @type {CanvasImageSource | null} */
  let before = null;
  /** @type {CanvasImageSource | null} */
  let after = null;
  /** @type {Fit} */
  let fit = {};
  /** @type {Way} */
  let way = "wipe";
  let wipe = size.width / 2;
  let line = lineOf(0, size);
  /** @type {import("../../core/fitting.js").Box} */
  let box = [0, 0, size.width, size.height];
  /** @type {{what: string, x: number, y: number, box: import("../../core/fitting.js").Box, line: [number, number, number, number]} | null} */
  let held = null;
  let seen = 0;

  const board = easel({ size: () => size, name: `${told.name} on the light table`, draw }, { down, move, up, lost: up });
  board.canvas.classList.add("pictures-light");

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function draw(pen, view) {
    if (view.scale !== seen) told.nearer((seen = view.scale));
    const one = 1 / view.scale;
    pen.imageSmoothingQuality = "high";
    pen.imageSmoothingEnabled = view.scale < 3;
    const whole = way === "line" ? before : way === "wipe" ? before : after;
    if (whole) pen.drawImage(whole, 0, 0, size.width, size.height);
    if (way === "wipe" && after) {
      pen.save();
      pen.beginPath();
      pen.rect(wipe, -1, size.width - wipe + 1, size.height + 2);
      pen.clip();
      pen.drawImage(after, 0, 0, size.width, size.height);
      shade(pen);
      pen.restore();
      drawWipe(pen, one);
    }
    if (way === "line") drawLine(pen, one);
    if (way === "crop") {
      shade(pen);
      drawBox(pen, one);
    }
  }

  /** What the crop leaves out lies in the shade. @param {CanvasRenderingContext2D} pen */
  function shade(pen) {
    if (way === "wipe" && !fit.crop) return;
    const [left, top, width, height] = box;
    pen.fillStyle = "rgb(220 214 198 / 0.82)";
    pen.beginPath();
    pen.rect(0, 0, size.width, size.height);
    pen.rect(left, top, width, height);
    pen.fill("evenodd");
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} one */
  function drawWipe(pen, one) {
    pen.lineWidth = 2 * one;
    pen.strokeStyle = "#fff";
    stroke(pen, [[wipe + one, 0], [wipe + one, size.height]]);
    pen.strokeStyle = "#24272c";
    stroke(pen, [[wipe, 0], [wipe, size.height]]);
    knob(pen, wipe, size.height / 2, one, 11);
    pen.font = `${15 * one}px "Courier Prime"`;
    pen.textBaseline = "top";
    for (const [text, x, align] of /** @type {[string, number, CanvasTextAlign][]} */ ([["before", wipe - 10 * one, "right"], ["after", wipe + 10 * one, "left"]])) {
      pen.textAlign = align;
      const wide = pen.measureText(text).width;
      pen.fillStyle = "rgb(252 249 241 / 0.9)";
      pen.fillRect(align === "right" ? x - wide - 5 * one : x - 5 * one, 8 * one, wide + 10 * one, 22 * one);
      pen.fillStyle = "#24272c";
      pen.fillText(text, x, 12 * one);
    }
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} one */
  function drawLine(pen, one) {
    const [ax, ay, bx, by] = line;
    pen.lineWidth = 3.5 * one;
    pen.strokeStyle = "rgb(255 255 255 / 0.85)";
    stroke(pen, [[ax, ay], [bx, by]]);
    pen.lineWidth = 1.6 * one;
    pen.strokeStyle = PENCIL;
    stroke(pen, [[ax, ay], [bx, by]]);
    knob(pen, ax, ay, one, 9);
    knob(pen, bx, by, one, 9);
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} one */
  function drawBox(pen, one) {
    const [left, top, width, height] = box;
    pen.lineWidth = 1.6 * one;
    pen.strokeStyle = PENCIL;
    pen.strokeRect(left, top, width, height);
    for (const handle of HANDLES) knob(pen, ...handleAt(box, handle), one, 7);
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function down(touch) {
    const { x, y, unit } = touch;
    if (way === "white" || way === "black") {
      const tone = pick(x, y);
      if (tone) told.picked(way, tone);
      return;
    }
    held = { what: grip(x, y, NEAR * unit * (touch.event.pointerType === "touch" ? 1.8 : 1)), x, y, box: [...box], line: [...line] };
    move(touch);
  }

  /** @param {number} x @param {number} y @param {number} near */
  function grip(x, y, near) {
    if (way === "wipe") return "wipe";
    if (way === "line") {
      const [ax, ay, bx, by] = line;
      const [a, b] = [Math.hypot(x - ax, y - ay), Math.hypot(x - bx, y - by)];
      return Math.min(a, b) > near * 1.5 ? "new" : a < b ? "a" : "b";
    }
    const handle = HANDLES.find((one) => Math.hypot(x - handleAt(box, one)[0], y - handleAt(box, one)[1]) < near);
    const [left, top, width, height] = box;
    const inside = x > left && y > top && x < left + width && y < top + height;
    return handle ?? (inside && (width < size.width || height < size.height) ? "all" : "se-new");
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function move({ x, y }) {
    if (!held) return;
    if (held.what === "wipe") wipe = Math.min(size.width, Math.max(0, x));
    else if (held.what === "a") line = [x, y, line[2], line[3]];
    else if (held.what === "b") line = [line[0], line[1], x, y];
    else if (held.what === "new") line = [held.x, held.y, x, y];
    else if (held.what === "se-new") {
      const [fx, tx] = [Math.min(held.x, x), Math.max(held.x, x)];
      const [fy, ty] = [Math.min(held.y, y), Math.max(held.y, y)];
      const clean = (/** @type {number} */ v, /** @type {number} */ most) => Math.round(Math.min(most, Math.max(0, v)));
      const [l, t, r, b] = [clean(fx, size.width - 1), clean(fy, size.height - 1), clean(tx, size.width), clean(ty, size.height)];
      box = [l, t, Math.max(1, r - l), Math.max(1, b - t)];
    } else box = dragged(held.box, held.what, x - held.x, y - held.y, size);
    board.redraw();
  }

  function up() {
    if (!held) return;
    const was = held;
    held = null;
    if (way === "line") {
      // A mere tap is no line.
      if (Math.hypot(line[2] - line[0], line[3] - line[1]) < size.width / 50) line = was.line;
      else told.changed({ straighten: angleOf(...line) });
    }
    if (way === "crop") {
      if (box[2] < size.width / 100 || box[3] < size.height / 100) box = was.box;
      else told.changed({ crop: box[2] >= size.width && box[3] >= size.height ? null : box });
    }
    board.redraw();
  }

  /** @param {number} x @param {number} y @returns {[number, number, number] | null} */
  function pick(x, y) {
    if (!after || x < 0 || y < 0 || x >= size.width || y >= size.height) return null;
    const few = document.createElement("canvas");
    few.width = few.height = 1;
    const pen = few.getContext("2d", { willReadFrequently: true });
    if (!pen) return null;
    pen.imageSmoothingQuality = "high";
    const across = /** @type {HTMLImageElement | ImageBitmap} */ (after).width / size.width;
    const wide = 5;
    pen.drawImage(after, x * across - wide / 2, y * across - wide / 2, wide, wide, 0, 0, 1, 1);
    const [r = 0, g = 0, b = 0] = pen.getImageData(0, 0, 1, 1).data;
    return [r, g, b];
  }

  return {
    ...board,
    /** @param {CanvasImageSource | null} one @param {CanvasImageSource | null} other */
    show(one, other) {
      before = one ?? before;
      after = other ?? after;
      board.redraw();
    },
    /** @param {Fit} to */
    steps(to) {
      fit = to;
      if (!held) {
        box = to.crop ?? [0, 0, size.width, size.height];
        if (Math.abs(angleOf(...line) - (to.straighten ?? 0)) > 0.006) line = lineOf(to.straighten ?? 0, size);
      }
      board.redraw();
    },
    /** @param {Way} to */
    turn(to) {
      way = to;
      board.canvas.style.cursor = to === "wipe" ? "ew-resize" : "crosshair";
      board.redraw();
    },
    way: () => way,
    /** @param {number} by A share of the width. */
    wipeBy(by) {
      wipe = Math.min(size.width, Math.max(0, wipe + by * size.width));
      board.redraw();
    },
  };
}

/** @param {CanvasRenderingContext2D} pen @param {[number, number][]} points */
function stroke(pen, points) {
  pen.beginPath();
  for (const [x, y] of points) pen.lineTo(x, y);
  pen.stroke();
}

/** A brass knob. @param {CanvasRenderingContext2D} pen @param {number} x @param {number} y @param {number} one @param {number} radius */
function knob(pen, x, y, one, radius) {
  pen.beginPath();
  pen.arc(x, y, radius * one, 0, 7);
  pen.fillStyle = BRASS;
  pen.fill();
  pen.lineWidth = 1.5 * one;
  pen.strokeStyle = "#fffbe8";
  pen.stroke();
  pen.beginPath();
  pen.arc(x - radius * 0.25 * one, y - radius * 0.3 * one, radius * 0.35 * one, 0, 7);
  pen.fillStyle = "#f3dfa2";
  pen.fill();
}
