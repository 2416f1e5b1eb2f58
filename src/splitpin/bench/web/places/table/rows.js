/** The exposures of a scene: all of them in brief, and how everything lies on those near by. */

import { ask } from "../../core/link.js";

/** @typedef {import("./types.js").Row} Row */
/** @typedef {import("./types.js").Near} Near */

const AROUND = 16;
/** So near to the end of what is known more is asked for. */
const EDGE = 6;

export class Rows {
  /**
   * @param {string} scene
   * @param {() => void} came Told when more is known.
   */
  constructor(scene, came) {
    this._path = `scenes/${encodeURIComponent(scene)}/table`;
    this._came = came;
    /** @type {import("./types.js").Brief[]} */
    this.all = [];
    /** @type {Map<number, Near>} */
    this._near = new Map();
    /** @type {Near} */
    this._last = { view: { x: 0, y: 0, width: 400, angle: 0 }, placed: [], poses: {} };
    this._asking = false;
  }

  /** Read everything anew. @param {number} frame Where one stands. */
  async load(frame) {
    const told = await ask("GET", `${this._path}?frame=${frame}&around=${AROUND}`);
    return () => {
      this.all = told.rows;
      this._near.clear();
      this._take(told.near);
      return told;
    };
  }

  /**
   * An exposure; while it is not known how everything lies there, as on the one that was seen last.
   *
   * @param {number} index
   * @returns {Row | undefined}
   */
  at(index) {
    const brief = this.all[index];
    if (!brief) return undefined;
    const near = this._near.get(index);
    if (near) this._last = near;
    return { ...brief, ...this._last };
  }

  /** @param {number} index */
  near(index) {
    return this._near.get(index);
  }

  /** See that what lies around an exposure is known before it is looked at. @param {number} index */
  async need(index) {
    const missing = [index - EDGE, index, index + EDGE].some((n) => n >= 0 && n < this.all.length && !this._near.has(n));
    const frame = this.all[index]?.frame;
    if (!missing || this._asking || frame === undefined) return;
    this._asking = true;
    const all = this.all;
    try {
      const told = await ask("GET", `${this._path}?frame=${frame}&around=${AROUND}&whole=false`);
      if (all === this.all) this._take(told.near);
    } finally {
      this._asking = false;
    }
    this._came();
  }

  /** @param {Record<string, Near>} near */
  _take(near) {
    for (const [index, one] of Object.entries(near)) this._near.set(Number(index), one);
  }
}
