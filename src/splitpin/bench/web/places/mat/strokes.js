/** How lines, strokes and pins are drawn on the mat. */

/** @typedef {import("../../core/drawing.js").Point} Point */

/**
 * A pencil line with light beside it, so that it is seen on anything.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point[]} points
 * @param {number} one A pixel of the screen, in units of the picture.
 * @param {string} colour
 * @param {{closed?: boolean, fine?: number, gaps?: number[]}} [how] How wide the line is, and its gaps, in pixels of
 *   the screen.
 */
export function line(pen, points, one, colour, { closed = false, fine = 1.5, gaps = [] } = {}) {
  if (points.length < 2) return;
  pen.save();
  pen.lineCap = pen.lineJoin = "round";
  pen.beginPath();
  for (const [x, y] of points) pen.lineTo(x, y);
  if (closed) pen.closePath();
  pen.lineWidth = (fine + 2) * one;
  pen.strokeStyle = "rgb(255 255 255 / 0.78)";
  pen.stroke();
  pen.setLineDash(gaps.map((gap) => gap * one));
  pen.lineWidth = fine * one;
  pen.strokeStyle = colour;
  pen.stroke();
  pen.restore();
}

/**
 * The rough loop, as a soft pencil leaves it.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point[]} points
 * @param {number} one
 */
export function dashed(pen, points, one) {
  line(pen, points, one, "#4a4a46", { closed: true, fine: 1.7, gaps: [7, 4] });
}

/**
 * What a coloured pencil went over.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point[]} points
 * @param {number} radius
 * @param {string} colour
 * @param {number} strength
 */
export function brush(pen, points, radius, colour, strength) {
  pen.save();
  pen.lineCap = pen.lineJoin = "round";
  pen.globalAlpha = strength;
  pen.strokeStyle = pen.fillStyle = colour;
  pen.lineWidth = 2 * radius;
  pen.beginPath();
  for (const [x, y] of points) pen.lineTo(x, y);
  if (points.length === 1 && points[0]) {
    pen.arc(points[0][0], points[0][1], radius, 0, 7);
    pen.fill();
  } else pen.stroke();
  pen.restore();
}

/**
 * Where the hand is.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point} at
 * @param {number} one
 * @param {string} colour
 */
export function cross(pen, [x, y], one, colour) {
  for (const [a, b] of /** @type {Point[]} */ ([[1, 0], [-1, 0], [0, 1], [0, -1]]))
    line(pen, [[x + a * 4 * one, y + b * 4 * one], [x + a * 11 * one, y + b * 11 * one]], one, colour);
}

/**
 * A brass pin.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point} at
 * @param {number} one
 */
export function pin(pen, [x, y], one) {
  pen.beginPath();
  pen.arc(x, y, 6 * one, 0, 7);
  pen.fillStyle = "#c79a3f";
  pen.fill();
  pen.lineWidth = 1.4 * one;
  pen.strokeStyle = "#5d4310";
  pen.stroke();
  pen.beginPath();
  pen.arc(x - 1.8 * one, y - 2 * one, 2.1 * one, 0, 7);
  pen.fillStyle = "#f6e3ab";
  pen.fill();
}
