/** The plane of the table: matrices as the server gives them, and rectangles that the camera looks at. */

/** @typedef {readonly [number, number]} Spot Millimetres on the table, y up; or pixels of a cut-out, y down. */
/** @typedef {readonly number[]} Matrix a, b, c, d, e, f: x' = a x + c y + e, y' = b x + d y + f. */
/** @typedef {{x: number, y: number, width: number, angle: number}} Look The camera's rectangle, mm and degrees. */

/**
 * Where a matrix takes a spot.
 *
 * @param {Matrix} m
 * @param {Spot} spot
 * @returns {[number, number]}
 */
export function through(m, [x, y]) {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = m;
  return [a * x + c * y + e, b * x + d * y + f];
}

/**
 * Which spot a matrix takes there; not a number where it flattens everything.
 *
 * @param {Matrix} m
 * @param {Spot} spot
 * @returns {[number, number]}
 */
export function back(m, [x, y]) {
  const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = m;
  const k = 1 / (a * d - b * c);
  return [(d * (x - e) - c * (y - f)) * k, (a * (y - f) - b * (x - e)) * k];
}

/**
 * The corners of a view, anticlockwise from the bottom left.
 *
 * @param {Look} view
 * @param {number} shape Height ÷ width.
 * @returns {[number, number][]}
 */
export function corners(view, shape) {
  const t = (view.angle * Math.PI) / 180;
  const [w, h] = [view.width / 2, (view.width * shape) / 2];
  return [[-w, -h], [w, -h], [w, h], [-w, h]].map(([x = 0, y = 0]) => [
    view.x + x * Math.cos(t) - y * Math.sin(t),
    view.y + x * Math.sin(t) + y * Math.cos(t),
  ]);
}

/**
 * A view that was pulled at a corner: its middle stays, its width follows the hand.
 *
 * @param {Look} view
 * @param {Spot} from Where the corner was.
 * @param {Spot} to Where the hand is.
 * @returns {Look}
 */
export function widened(view, from, to) {
  const before = Math.hypot(from[0] - view.x, from[1] - view.y);
  const now = Math.hypot(to[0] - view.x, to[1] - view.y);
  return { ...view, width: Math.max(1, (view.width * now) / Math.max(1e-6, before)) };
}

/**
 * How long one pixel of a cut-out is on the table, mm.
 *
 * @param {Matrix} m
 */
export function fineness(m) {
  return Math.hypot(m[0] ?? 1, m[1] ?? 0);
}

/**
 * Which spot of a list is nearest to another, if any is near enough.
 *
 * @param {readonly Spot[]} spots
 * @param {Spot} to
 * @param {number} within mm.
 * @returns {number} Its index; -1 for none.
 */
export function nearest(spots, to, within) {
  let best = -1;
  let least = within;
  spots.forEach(([x, y], n) => {
    const far = Math.hypot(x - to[0], y - to[1]);
    if (far <= least) [best, least] = [n, far];
  });
  return best;
}
