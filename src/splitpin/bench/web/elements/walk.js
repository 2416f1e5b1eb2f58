/** The first walk round the desk: six notes, one after the other, each clipped under the guide strip. */

import { write } from "../core/address.js";
import { h } from "../core/dom.js";

const KEY = "splitpin-walk";

/** @type {{place: string, what: string, text: string}[]} */
const NOTES = [
  { place: "reel", what: "Press Space.", text: "This is the film, and it always plays: what is not drawn yet is shown by a card with its words. Work takes the cards' places; its length and its sound never move." },
  { place: "pictures", what: "Found pictures.", text: "Drop pictures here. Each keeps a card of where it comes from, because somebody will ask." },
  { place: "mat", what: "Cut them out.", text: "A rough loop around the thing is enough; strokes put right what it takes wrongly. What it leaves in the picture can be mended." },
  { place: "board", what: "Plan with seconds.", text: "Write what happens, what is heard and how long it takes. The board plays at once." },
  { place: "table", what: "Lay and move the pieces.", text: "Drag a piece, turn it on its pin, give it a move and its seconds: the marks along its way are where it lies on each exposure." },
  { place: "sheet", what: "Everything, line by line.", text: "The exposure sheet: one line for each position. Whatever you do is undone with Ctrl+Z, without end, also tomorrow." },
];

/**
 * Lay the next note of the walk on the desk, if it is not over.
 *
 * It lies above the place, over nothing: whatever the note tells of can be seen and used beside it.
 *
 * @param {import("../main.js").Bench} bench
 * @param {string} place That is open.
 */
export function walk(bench, place) {
  document.getElementById("walk")?.remove();
  const at = Number(localStorage.getItem(KEY) ?? 0);
  const note = NOTES[at];
  if (!note || place === "shelf" || !bench.desk.film) return;
  const go = (/** @type {number} */ to) => {
    localStorage.setItem(KEY, String(to));
    document.getElementById("walk")?.remove();
    const next = NOTES[to];
    if (next && next.place !== place) bench.go(next.place);
    else walk(bench, place);
  };
  document.getElementById("place")?.before(
    h(
      "aside",
      { id: "walk", "aria-label": "a first walk round the desk" },
      h("span", { class: "typed" }, `${at + 1} of ${NOTES.length}`),
      h("p", {}, h("b", {}, note.what), ` ${note.text} `, note.place !== place && h("a", { href: write(note.place) }, "Go there")),
      h("button", { class: "first", onclick: () => go(at + 1) }, at + 1 < NOTES.length ? "Next" : "Done"),
      h("button", { class: "plain", onclick: () => go(NOTES.length) }, "No walk"),
    ),
  );
}
