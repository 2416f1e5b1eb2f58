/** Where one looks at a large thing: how far it is enlarged, and what of it lies where. */

/**
 * @typedef {object} View
 * @property {number} scale Pixels of the screen for one unit of the thing.
 * @property {number} x Where the thing's origin lies on the screen, pixels.
 * @property {number} y
 */

/** @typedef {{width: number, height: number}} Size */

const LEAST = 0.02;
const MOST = 64;

/**
 * The view that shows all of a thing, in the middle.
 *
 * @param {Size} thing
 * @param {Size} screen
 * @param {number} [margin] Pixels that stay free around it.
 * @returns {View}
 */
export function whole(thing, screen, margin = 16) {
  const scale = Math.min(
    Math.max(1, screen.width - 2 * margin) / Math.max(1e-6, thing.width),
    Math.max(1, screen.height - 2 * margin) / Math.max(1e-6, thing.height),
  );
  return { scale, x: (screen.width - thing.width * scale) / 2, y: (screen.height - thing.height * scale) / 2 };
}

/**
 * Enlarge about a point of the screen, which keeps what lies under it.
 *
 * @param {View} view
 * @param {number} factor
 * @param {number} x Pixels of the screen.
 * @param {number} y
 * @returns {View}
 */
export function nearer(view, factor, x, y) {
  const scale = Math.min(MOST, Math.max(LEAST, view.scale * factor));
  const by = scale / view.scale;
  return { scale, x: x - (x - view.x) * by, y: y - (y - view.y) * by };
}

/**
 * What of the thing lies under a point of the screen.
 *
 * @param {View} view
 * @param {number} x
 * @param {number} y
 * @returns {[number, number]}
 */
export function under(view, x, y) {
  return [(x - view.x) / view.scale, (y - view.y) / view.scale];
}

/**
 * Two fingers moved: what was under each stays under it.
 *
 * @param {View} view
 * @param {[number, number][]} before
 * @param {[number, number][]} now
 * @returns {View}
 */
export function pinched(view, before, now) {
  const [a = [0, 0], b = a] = before;
  const [c = [0, 0], d = c] = now;
  const middle = (/** @type {number[]} */ p, /** @type {number[]} */ q, /** @type {number} */ n) => ((p[n] ?? 0) + (q[n] ?? 0)) / 2;
  const apart = (/** @type {number[]} */ p, /** @type {number[]} */ q) => Math.hypot((p[0] ?? 0) - (q[0] ?? 0), (p[1] ?? 0) - (q[1] ?? 0));
  const grown = nearer(view, apart(c, d) / Math.max(1, apart(a, b)), middle(a, b, 0), middle(a, b, 1));
  return { ...grown, x: grown.x + middle(c, d, 0) - middle(a, b, 0), y: grown.y + middle(c, d, 1) - middle(a, b, 1) };
}
