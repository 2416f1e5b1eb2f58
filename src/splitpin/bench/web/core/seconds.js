/** Seconds as people type them, kept to whole frames. */

/**
 * The frames that are meant.
 *
 * @param {string} text `2.5`, `2,5`, `2.5 s`, or frames: `60f`.
 * @param {number} rate Frames a second.
 * @returns {number | null} At least one frame; null where it is none.
 */
export function framesOf(text, rate) {
  const found = /^\s*(\d*[.,]?\d+|\d+[.,])\s*(s|f)?\s*$/i.exec(text);
  if (!found) return null;
  const value = Number(/** @type {string} */ (found[1]).replace(",", "."));
  const frames = Math.round(found[2]?.toLowerCase() === "f" ? value : value * rate);
  return Number.isFinite(frames) && frames >= 1 && frames <= 216_000 ? frames : null;
}

/**
 * Frames as seconds, with no more places than it takes.
 *
 * @param {number} frames
 * @param {number} rate
 */
export function secondsOf(frames, rate) {
  return String(Number((frames / rate).toFixed(3)));
}
