/** A tall sheet of lines: which of them are seen, and which are chosen. */

/**
 * The lines that must be there: those that are seen, and some before and after.
 *
 * @param {number} top Pixels above what is seen.
 * @param {number} height Pixels that are seen.
 * @param {number} line Pixels of a line.
 * @param {number} many How many lines there are.
 * @param {number} [spare] Lines before and after.
 * @returns {[number, number]} The first, and the first after the last.
 */
export function seen(top, height, line, many, spare = 8) {
  const first = Math.max(0, Math.floor(top / line) - spare);
  const end = Math.min(many, Math.ceil((top + height) / line) + spare);
  return [Math.min(first, many), Math.max(end, Math.min(first, many))];
}

/**
 * Where one must look so that a line is seen whole.
 *
 * @param {number} top
 * @param {number} height
 * @param {number} line
 * @param {number} at The line.
 */
export function towards(top, height, line, at) {
  if (at * line < top) return at * line;
  if ((at + 1) * line > top + height) return (at + 1) * line - height;
  return top;
}

/**
 * @typedef {object} Choice A rectangle of cells: where it was begun, and where the hand is now.
 * @property {number} row
 * @property {number} column
 * @property {number} fromRow
 * @property {number} fromColumn
 */

/**
 * Go on from a choice.
 *
 * @param {Choice} choice
 * @param {number} rows How far down.
 * @param {number} columns How far to the right.
 * @param {{rows: number, columns: number}} sheet
 * @param {boolean} wider Keep where it was begun.
 * @returns {Choice}
 */
export function goOn(choice, rows, columns, sheet, wider) {
  const row = Math.max(0, Math.min(sheet.rows - 1, choice.row + rows));
  const column = Math.max(0, Math.min(sheet.columns - 1, choice.column + columns));
  return wider ? { ...choice, row, column } : { row, column, fromRow: row, fromColumn: column };
}

/**
 * @param {Choice} choice
 * @returns {{top: number, bottom: number, left: number, right: number}} Its first and last lines and columns.
 */
export function bounds(choice) {
  return {
    top: Math.min(choice.row, choice.fromRow),
    bottom: Math.max(choice.row, choice.fromRow),
    left: Math.min(choice.column, choice.fromColumn),
    right: Math.max(choice.column, choice.fromColumn),
  };
}

/**
 * How heavy the rule above an exposure is.
 *
 * @param {number} frame Its first frame.
 * @param {number} before That of the exposure before it.
 * @param {number} rate Frames a second.
 * @returns {"second" | "half" | ""} Whether a second, or half of one, has begun since.
 */
export function rule(frame, before, rate) {
  const since = (/** @type {number} */ part) => Math.floor(frame / (rate * part) + 1e-9) !== Math.floor(before / (rate * part) + 1e-9);
  return since(1) ? "second" : since(0.5) ? "half" : "";
}
