/** What the server tells of the table, and what a hand says to it. */

/** @typedef {import("./draw.js").Placed} Placed */
/** @typedef {import("../../core/plane.js").Look} Look */
/** @typedef {Record<string, Record<string, number | string | boolean>>} Poses */

/**
 * @typedef {object} Brief
 * @property {number} frame
 * @property {number} frames
 * @property {string} panel
 * @property {string} kind
 * @property {string} key
 * @property {string[]} moved Who lies otherwise than on the exposure before.
 */

/** @typedef {{view: Look, placed: Placed[], poses: Poses}} Near How everything lies on an exposure. */
/** @typedef {Brief & Near} Row */

/**
 * @typedef {object} Laid
 * @property {number} move Its place in the scene's list.
 * @property {string} kind
 * @property {string | null} name
 * @property {string} who
 * @property {Record<string, any>} keys
 * @property {number} frame
 * @property {number} frames
 * @property {number} on
 * @property {[number, number, number][]} ticks Frame, x, y.
 */

/** @typedef {{who: string, piece: string}} Chosen */
/** @typedef {"pull" | "carry" | "turn" | "shift" | "view"} Hand */
/** @typedef {{who: string, piece: string, how: string, at: [number, number], to: [number, number], snap: boolean}} Grip */

export {};
