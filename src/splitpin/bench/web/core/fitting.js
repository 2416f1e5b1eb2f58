/** Making a scan fit, as far as it is drawn by hand: the line that shall be level, the box that is kept. */

/** @typedef {[number, number, number, number]} Box Left, top, width, height, pixels. */
/** @typedef {{width: number, height: number}} Size */

/**
 * @typedef {object} Fit
 * @property {number} [straighten] Degrees anticlockwise.
 * @property {Box | null} [crop]
 * @property {[number, number, number] | null} [white]
 * @property {[number, number, number] | null} [black]
 * @property {{cell: number, angle: number}[]} [screens]
 */

const STEEPEST = 45;

/**
 * How far a picture is to be turned so that a line in it lies level, or upright where it is nearer to that.
 *
 * @param {number} ax
 * @param {number} ay
 * @param {number} bx
 * @param {number} by
 * @returns {number} Degrees anticlockwise, to a hundredth.
 */
export function angleOf(ax, ay, bx, by) {
  // The picture's y runs down: a line that falls to the right is turned up again.
  const falls = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI;
  const turn = ((((falls + STEEPEST) % 90) + 90) % 90) - STEEPEST;
  return Math.round(turn * 100) / 100 || 0;
}

/**
 * The line through the middle of a picture that will lie level when it is turned by an angle.
 *
 * @param {number} angle Degrees anticlockwise.
 * @param {Size} size
 * @returns {[number, number, number, number]} Both ends: x, y, x, y.
 */
export function lineOf(angle, size) {
  const way = (angle * Math.PI) / 180;
  const half = 0.4 * size.width;
  const [x, y] = [size.width / 2, size.height / 2];
  return [x - half * Math.cos(way), y - half * Math.sin(way), x + half * Math.cos(way), y + half * Math.sin(way)];
}

/** Which sides a handle moves: left or right, top or bottom, or all of them. */
export const HANDLES = /** @type {const} */ (["nw", "n", "ne", "e", "se", "s", "sw", "w"]);

/**
 * Where a handle of a box lies.
 *
 * @param {Box} box
 * @param {string} handle
 * @returns {[number, number]}
 */
export function handleAt([left, top, width, height], handle) {
  const x = handle.includes("w") ? 0 : handle.includes("e") ? 1 : 0.5;
  const y = handle.includes("n") ? 0 : handle.includes("s") ? 1 : 0.5;
  return [left + x * width, top + y * height];
}

/**
 * A box whose handle was dragged; `all` moves it whole. It stays within the picture, in whole pixels.
 *
 * @param {Box} box
 * @param {string} handle
 * @param {number} dx
 * @param {number} dy
 * @param {Size} size
 * @returns {Box}
 */
export function dragged([left, top, width, height], handle, dx, dy, size) {
  const within = (/** @type {number} */ v, /** @type {number} */ low, /** @type {number} */ high) => Math.round(Math.min(high, Math.max(low, v)));
  if (handle === "all") return [within(left + dx, 0, size.width - width), within(top + dy, 0, size.height - height), width, height];
  let [x0, y0, x1, y1] = [left, top, left + width, top + height];
  if (handle.includes("w")) x0 = within(x0 + dx, 0, x1 - 1);
  if (handle.includes("e")) x1 = within(x1 + dx, x0 + 1, size.width);
  if (handle.includes("n")) y0 = within(y0 + dy, 0, y1 - 1);
  if (handle.includes("s")) y1 = within(y1 + dy, y0 + 1, size.height);
  return [x0, y0, x1 - x0, y1 - y0];
}

/**
 * The steps without those that change nothing.
 *
 * @param {Fit} fit
 * @returns {Fit}
 */
export function tidy(fit) {
  /** @type {Fit} */
  const kept = {};
  if (fit.straighten) kept.straighten = fit.straighten;
  if (fit.crop) kept.crop = fit.crop;
  if (fit.white) kept.white = fit.white;
  if (fit.black) kept.black = fit.black;
  if (fit.screens?.length) kept.screens = fit.screens.map(({ cell, angle }) => ({ cell, angle }));
  return kept;
}
