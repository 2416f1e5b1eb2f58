/** Keys that belong to a slider and not to the hand on the mat. */

/** @param {KeyboardEvent} event */
export function ownArrows(event) {
  if (/^(Arrow|Home|End|Page)/.test(event.key)) event.stopPropagation();
}
