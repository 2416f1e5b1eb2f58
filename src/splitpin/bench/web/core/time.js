/** Frames, and how people read them. */

/**
 * The exact rate that a film's document tells.
 *
 * @param {string} rate `"24"` or `"24000/1001"`.
 * @returns {number} Frames a second.
 */
export function rateOf(rate) {
  const [above, below] = rate.split("/").map(Number);
  return /** @type {number} */ (above) / (below ?? 1);
}

/**
 * Frames as minutes, seconds and frames over: `1:07+12`.
 *
 * @param {number} frame
 * @param {number} rate
 */
export function clock(frame, rate) {
  const whole = Math.round(rate);
  const seconds = Math.floor(frame / whole);
  const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
  return `${Math.floor(seconds / 60)}:${two(seconds % 60)}+${two(frame % whole)}`;
}

/**
 * Frames as seconds with two places: `3.25 s`.
 *
 * @param {number} frames
 * @param {number} rate
 */
export function seconds(frames, rate) {
  return `${(frames / rate).toFixed(2)} s`;
}

/**
 * The exposure that shows a frame, by halving.
 *
 * @template {{frame: number}} T
 * @param {readonly T[]} exposures In the film's order.
 * @param {number} frame
 * @returns {number} Its index; -1 when there is none.
 */
export function at(exposures, frame) {
  let low = 0;
  let high = exposures.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (/** @type {T} */ (exposures[middle]).frame <= frame) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
