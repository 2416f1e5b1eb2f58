/** Draw the table: its pieces by their matrices, what was and what comes, rulers over it. The pen is in mm, y up. */

import { corners, fineness } from "../../core/plane.js";

/** @typedef {import("../../core/plane.js").Look} Look */
/** @typedef {import("./cuts.js").Cuts} Cuts */

/**
 * @typedef {object} Placed
 * @property {string} who
 * @property {string} piece
 * @property {string} cutout
 * @property {number[]} matrix
 * @property {[number, number]} pin
 * @property {number} angle
 * @property {number} level
 */

/** @typedef {{width: number, height: number, field_mm: number}} Stage */

export const BRASS = "#b48a36";
export const BLUE = "#285380";
export const RED = "#a5311f";
const DESK = "rgb(214 207 190 / 0.82)";

/**
 * Lay pieces down, the lowest first.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {readonly Placed[]} placed
 * @param {Cuts} cuts
 * @param {number} fine Pixels of the screen for one mm.
 * @param {(name: string) => string} version
 */
export function pieces(pen, placed, cuts, fine, version) {
  for (const one of placed) {
    const cut = cuts.get(one.cutout, version(one.cutout));
    if (!cut) continue;
    pen.save();
    const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = one.matrix;
    pen.transform(a, b, c, d, e, f);
    cuts.draw(pen, cut, fineness(one.matrix) * fine);
    pen.restore();
  }
}

/**
 * The rectangle of a view as a path.
 *
 * @param {Look} view
 * @param {number} shape
 */
export function outline(view, shape) {
  const path = new Path2D();
  corners(view, shape).forEach(([x, y], n) => (n ? path.lineTo(x, y) : path.moveTo(x, y)));
  path.closePath();
  return path;
}

/**
 * The true picture of an exposure, where the camera looks.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {HTMLImageElement} image
 * @param {Look} view
 * @param {number} shape
 */
export function picture(pen, image, view, shape) {
  pen.save();
  pen.translate(view.x, view.y);
  pen.rotate((view.angle * Math.PI) / 180);
  pen.scale(1, -1);
  pen.drawImage(image, -view.width / 2, (-view.width * shape) / 2, view.width, view.width * shape);
  pen.restore();
}

/**
 * A thin sheet over all that the camera does not see.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Look} view
 * @param {number} shape
 */
export function veil(pen, view, shape) {
  const far = new Path2D();
  far.rect(-1e5, -1e5, 2e5, 2e5);
  far.addPath(outline(view, shape));
  pen.fillStyle = DESK;
  pen.fill(far, "evenodd");
}

/**
 * Pieces as they lay before or will lie, in one colour; the pen's sheet must be bare.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {readonly Placed[]} placed
 * @param {Cuts} cuts
 * @param {number} fine
 * @param {(name: string) => string} version
 * @param {string} colour
 */
export function ghost(pen, placed, cuts, fine, version, colour) {
  pieces(pen, placed, cuts, fine, version);
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.globalCompositeOperation = "source-atop";
  pen.globalAlpha = 0.62;
  pen.fillStyle = colour;
  pen.fillRect(0, 0, pen.canvas.width, pen.canvas.height);
}

/**
 * The field chart: the field in twelfths about its middle, as framed camera tables have it.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Stage} stage
 * @param {number} px One pixel of the screen, mm.
 */
export function chart(pen, stage, px) {
  const shape = stage.height / stage.width;
  pen.strokeStyle = "rgb(40 83 128 / 0.6)";
  pen.fillStyle = BLUE;
  for (let n = 1; n <= 12; n++) {
    const view = { x: 0, y: 0, width: (stage.field_mm * n) / 12, angle: 0 };
    pen.lineWidth = (n === 12 ? 1.6 : n % 2 ? 0.5 : 0.9) * px;
    pen.stroke(outline(view, shape));
    if (n % 2 === 0) words(pen, String(n), 2 * px, (view.width * shape) / 2 - 12 * px, 11 * px);
  }
  const [w, h] = [stage.field_mm / 2, (stage.field_mm * shape) / 2];
  pen.lineWidth = px;
  line(pen, -w, 0, w, 0);
  line(pen, 0, -h, 0, h);
}

/**
 * What every screen shows (93 %) and where writing is safe (90 %), in the camera's rectangle.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Look} view
 * @param {number} shape
 * @param {number} px
 */
export function margins(pen, view, shape, px) {
  for (const [share, dash] of /** @type {[number, number[]][]} */ ([[0.93, []], [0.9, [6, 4]]])) {
    pen.setLineDash(dash.map((one) => one * px));
    const path = outline({ ...view, width: view.width * share }, shape);
    for (const [colour, wide] of /** @type {[string, number][]} */ ([["rgb(255 255 255 / 0.75)", 3], [RED, 1.3]])) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide * px;
      pen.stroke(path);
    }
  }
  pen.setLineDash([]);
}

/**
 * A text that stands upright though y runs up.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {string} text
 * @param {number} x
 * @param {number} y
 * @param {number} size mm.
 */
export function words(pen, text, x, y, size) {
  pen.save();
  pen.translate(x, y);
  pen.scale(1, -1);
  pen.font = `${size}px "Courier Prime", monospace`;
  pen.fillText(text, 0, 0);
  pen.restore();
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {number} x0
 * @param {number} y0
 * @param {number} x1
 * @param {number} y1
 */
export function line(pen, x0, y0, x1, y1) {
  pen.beginPath();
  pen.moveTo(x0, y0);
  pen.lineTo(x1, y1);
  pen.stroke();
}

/**
 * A split pin seen from above.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {number} x
 * @param {number} y
 * @param {number} px
 * @param {number} [size] Pixels across.
 */
export function pin(pen, x, y, px, size = 13) {
  const r = (size / 2) * px;
  const shine = pen.createRadialGradient(x - r * 0.3, y + r * 0.35, r * 0.1, x, y, r);
  shine.addColorStop(0, "#f6e3ab");
  shine.addColorStop(0.5, "#c79a3f");
  shine.addColorStop(1, "#7d5a1c");
  pen.beginPath();
  pen.arc(x, y, r, 0, 2 * Math.PI);
  pen.fillStyle = shine;
  pen.fill();
  pen.lineWidth = 0.8 * px;
  pen.strokeStyle = "rgb(60 45 15 / 0.8)";
  pen.stroke();
}
