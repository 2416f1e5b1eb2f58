/** Pieces that lie on a plane, as the server placed them: how large they are together, and which lies under a point. */

/**
 * @typedef {object} Piece
 * @property {string} piece
 * @property {string} cutout
 * @property {[number, number, number, number, number, number]} matrix From pixels to millimetres, y up.
 * @property {[number, number]} pin
 * @property {number} [version]
 */

/** @typedef {{left: number, top: number, width: number, height: number}} Box In millimetres; `top` is the greatest y. */

/**
 * The box around pieces.
 *
 * @param {readonly Piece[]} placed
 * @param {(cutout: string) => {width: number, height: number}} size In pixels.
 * @returns {Box} A square of 100 mm when nothing lies there.
 */
export function boxOf(placed, size) {
  const xs = [];
  const ys = [];
  for (const one of placed) {
    const { width, height } = size(one.cutout);
    for (const [x, y] of [[0, 0], [width, 0], [0, height], [width, height]]) {
      const [u, v] = through(one.matrix, /** @type {number} */ (x), /** @type {number} */ (y));
      xs.push(u);
      ys.push(v);
    }
  }
  if (!xs.length) return { left: -50, top: 50, width: 100, height: 100 };
  const left = Math.min(...xs);
  const top = Math.max(...ys);
  return { left, top, width: Math.max(...xs) - left, height: top - Math.min(...ys) };
}

/**
 * Where a point goes.
 *
 * @param {Piece["matrix"]} matrix
 * @param {number} x
 * @param {number} y
 * @returns {[number, number]}
 */
export function through([a, b, c, d, e, f], x, y) {
  return [a * x + c * y + e, b * x + d * y + f];
}

/**
 * Where a point comes from.
 *
 * @param {Piece["matrix"]} matrix
 * @param {number} x
 * @param {number} y
 * @returns {[number, number]}
 */
export function back([a, b, c, d, e, f], x, y) {
  const k = 1 / (a * d - b * c);
  return [(d * (x - e) - c * (y - f)) * k, (a * (y - f) - b * (x - e)) * k];
}

/**
 * The topmost piece under a point of the plane.
 *
 * @param {readonly Piece[]} placed Lowest first.
 * @param {number} x Millimetres.
 * @param {number} y
 * @param {(cutout: string, x: number, y: number) => boolean} paper Whether there is paper at pixels of a cut-out.
 * @returns {string | null}
 */
export function touched(placed, x, y, paper) {
  for (let n = placed.length - 1; n >= 0; n--) {
    const one = /** @type {Piece} */ (placed[n]);
    if (paper(one.cutout, ...back(one.matrix, x, y))) return one.piece;
  }
  return null;
}

/**
 * Move an item of a list.
 *
 * @template T
 * @param {readonly T[]} list
 * @param {number} from
 * @param {number} to Where it lies then, held within the list.
 * @returns {T[]}
 */
export function moved(list, from, to) {
  const rest = list.filter((_, n) => n !== from);
  rest.splice(Math.max(0, Math.min(rest.length, to)), 0, /** @type {T} */ (list[from]));
  return rest;
}
