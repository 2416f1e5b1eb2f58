/** The knife's way between its points: asked of the server, each stretch once. */

import { ask } from "../../core/link.js";

/** @typedef {import("../../core/drawing.js").Point} Point */

/**
 * @param {() => string} at Where the server has the picture.
 * @param {() => void} changed
 */
export function knifeWays(at, changed) {
  /** @type {Map<string, Point[] | null>} */
  const ways = new Map();
  let asking = false;
  /** @type {{start: Point | null, end: Point} | null} */
  let next = null;
  /** @type {Point[]} */
  let live = [];
  const key = (/** @type {Point} */ a, /** @type {Point} */ b) => `${a} ${b}`;

  async function follow() {
    if (asking) return;
    asking = true;
    while (next) {
      const now = next;
      next = null;
      const told = await ask("POST", `${at()}/edge`, now).catch(() => null);
      if (told) live = told.points;
      changed();
    }
    asking = false;
  }

  return {
    /** The way under the hand. */
    live: () => live,
    /** @param {Point | null} start @param {Point} end */
    reach(start, end) {
      next = { start, end };
      void follow();
    },
    stop() {
      next = null;
      live = [];
    },
    /**
     * Where on the edge a point is meant to be.
     *
     * @param {Point} end
     * @returns {Promise<Point>}
     */
    async snapped(end) {
      const told = await ask("POST", `${at()}/edge`, { end });
      return told.points.at(-1) ?? end;
    },
    /**
     * The way between two points: straight until the server has told it.
     *
     * @param {Point} a
     * @param {Point} b
     * @returns {Point[]}
     */
    between(a, b) {
      const name = key(a, b);
      const known = ways.get(name);
      if (known) return known;
      if (known === undefined) {
        ways.set(name, null);
        void ask("POST", `${at()}/edge`, { start: a, end: b })
          .then((told) => {
            ways.set(name, told.points);
            changed();
          })
          .catch(() => undefined);
      }
      return [a, b];
    },
  };
}
