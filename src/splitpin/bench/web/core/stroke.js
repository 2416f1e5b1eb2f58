/** A stroke of a pencil: where its marks fall along the way of the hand. */

/**
 * A place that the hand came by.
 *
 * @typedef {object} Spot
 * @property {number} x
 * @property {number} y
 * @property {number} pressure 0 to 1.
 */

/**
 * The marks between two places, evenly spaced whatever pace the hand has.
 *
 * @param {Spot} from
 * @param {Spot} to
 * @param {number} gap From mark to mark, in the unit of the places; above 0.
 * @param {number} left How far it is from `from` to the next mark: what the piece before gave back, 0 at the start.
 * @returns {{marks: Spot[], left: number}} The marks, and how far it is from `to` to the next one.
 */
export function marks(from, to, gap, left) {
  const long = Math.hypot(to.x - from.x, to.y - from.y);
  /** @type {Spot[]} */
  const found = [];
  let at = left;
  for (; at <= long; at += gap) {
    const part = long ? at / long : 0;
    found.push({
      x: from.x + (to.x - from.x) * part,
      y: from.y + (to.y - from.y) * part,
      pressure: from.pressure + (to.pressure - from.pressure) * part,
    });
  }
  return { marks: found, left: at - long };
}

/**
 * How wide a tool draws under a pressure: a light hand draws half as wide as a firm one.
 *
 * @param {number} width Of a firm hand.
 * @param {number} pressure 0 to 1.
 */
export function breadth(width, pressure) {
  return width * (0.35 + 0.65 * Math.min(1, Math.max(0, pressure)));
}
