/** How lines and pins are drawn on the mat. */

/** @typedef {import("../../core/drawing.js").Point} Point */

/**
 * A pencil line with light beside it, so that it is seen on anything.
 *
 * @param {CanvasRenderingContext2D} pen
 * @param {Point[]} points
 * @param {number} one A pixel of the screen, in units of the picture.
 * @param {string} colour
 */
export function line(pen, points, one, colour) {
  pen.lineCap = pen.lineJoin = "round";
  pen.beginPath();
  for (const [x, y] of points) pen.lineTo(x, y);
  for (const [wide, tone] of /** @type {[number, string][]} */ ([[4.5, "rgb(255 255 255 / 0.8)"], [2, colour]])) {
    pen.lineWidth = wide * one;
    pen.strokeStyle = tone;
    pen.stroke();
  }
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
