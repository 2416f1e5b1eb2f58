/** What is drawn on the mat and not yet cut: every stroke can be taken back, and it is there after a reload. */

import { told } from "../../core/drawing.js";

/** @typedef {import("../../core/drawing.js").Point} Point */
/** @typedef {{points: Point[], radius: number}} Stroke */

/**
 * @typedef {object} Drawn
 * @property {"soft" | "knife"} edge
 * @property {Point[]} loop
 * @property {Point[]} knife
 * @property {boolean} closed Whether the knife's way is led back to its first point.
 * @property {Stroke[]} keep
 * @property {Stroke[]} drop
 * @property {number} ink_mm
 */

/** @returns {Drawn} */
export const nothing = () => ({ edge: "soft", loop: [], knife: [], closed: false, keep: [], drop: [], ink_mm: 0 });

/**
 * @param {string} place Where it is kept in this browser.
 * @param {() => void} changed
 */
export function draft(place, changed) {
  /** @type {Drawn} */
  let now = nothing();
  let clean = JSON.stringify(now);
  /** @type {string[]} */
  let past = [];
  /** @type {string[]} */
  let future = [];
  const kept = localStorage.getItem(place);

  function settle() {
    const text = JSON.stringify(now);
    if (text === clean) localStorage.removeItem(place);
    else localStorage.setItem(place, text);
    changed();
  }

  return {
    now: () => now,
    dirty: () => JSON.stringify(now) !== clean,
    /** Whether it is enough to cut by. */
    enough: () => (now.edge === "knife" && now.knife.length > 0 ? now.closed && now.knife.length >= 3 : now.loop.length >= 3),
    /** @param {Partial<Drawn>} some */
    change(some) {
      past.push(JSON.stringify(now));
      future = [];
      now = { ...now, ...some };
      settle();
    },
    /**
     * Begin with what a recipe says, or go on with what was drawn since.
     *
     * @param {Partial<Drawn> | null} recipe
     */
    begin(recipe) {
      const { edge, loop, knife, keep, drop, ink_mm } = { ...nothing(), ...recipe };
      now = { edge, loop, knife, closed: knife.length >= 3, keep, drop, ink_mm };
      clean = JSON.stringify(now);
      past = [];
      future = [];
      if (kept && kept !== clean && localStorage.getItem(place) === kept) {
        past.push(clean);
        now = JSON.parse(kept);
      }
      changed();
    },
    /** It is cut: what is drawn is what the recipe says. */
    done() {
      clean = JSON.stringify(now);
      past = [];
      future = [];
      localStorage.removeItem(place);
    },
    back() {
      const text = past.pop();
      if (text === undefined) return false;
      future.push(JSON.stringify(now));
      now = JSON.parse(text);
      settle();
      return true;
    },
    again() {
      const text = future.pop();
      if (text === undefined) return false;
      past.push(JSON.stringify(now));
      now = JSON.parse(text);
      settle();
      return true;
    },
    /** As the server is told. */
    recipe() {
      const strokes = (/** @type {Stroke[]} */ all) => all.map(({ points, radius }) => ({ points: told(points), radius }));
      const { edge, loop, knife, keep, drop, ink_mm } = now;
      return { edge, loop: told(loop), knife: edge === "knife" ? told(knife) : [], keep: strokes(keep), drop: strokes(drop), ink_mm };
    },
  };
}
