/** The tools beside the mat. */

import { h } from "../../core/dom.js";
import { mark } from "./marks.js";
import { ownArrows } from "./own.js";

/** @typedef {import("./pencil.js").Tool} Tool */

const TOOLS = /** @type {[Tool, string, string, string][]} */ ([
  ["loop", "Loop", "L", "Draw roughly around the thing, a little outside; or set corners and close at the first."],
  ["knife", "Knife", "K", "Set points on the edge; the blade follows it between them. Close at the first point."],
  ["keep", "Keep", "P", "Pencil over what belongs to the thing."],
  ["drop", "Drop", "X", "Pencil over what does not belong to it."],
  ["rub", "Rub out", "E", "Rub out strokes and points."],
]);

/**
 * @param {ReturnType<typeof import("./pencil.js").pencil>} board
 * @param {ReturnType<typeof import("./draft.js").draft>} sheet
 * @param {(tool: Tool) => void} take
 */
export function toolbox(board, sheet, take) {
  const wide = /** @type {HTMLInputElement} */ (h("input", { type: "range", min: "0", max: "100", value: "40", "aria-label": "how wide the pencil is", title: "how wide the pencil is ([ and ])", oninput: () => board.widen(0.5 * 1.08 ** Number(wide.value)), onkeydown: ownArrows }));
  const hint = h("p", { class: "quiet mat-hint", "aria-live": "polite" });
  const buttons = TOOLS.map(([tool, name, key]) => h("button", { class: "mat-tool", "data-tool": tool, "aria-pressed": "false", title: `${name} (${key})`, onclick: () => take(tool) }, mark(tool), h("span", {}, name)));
  const back = h("button", { class: "plain", title: "take back the latest stroke (Ctrl+Z)", onclick: () => sheet.back() }, "Stroke back");
  const element = h(
    "div",
    { class: "mat-tools", role: "toolbar", "aria-label": "tools", "aria-orientation": "vertical" },
    buttons,
    h("label", { class: "mat-wide" }, h("span", {}, "pencil"), wide),
    back,
    h("div", { class: "mat-zoom" }, h("button", { "aria-label": "nearer", title: "nearer (+)", onclick: () => board.zoom(1.25) }, "+"), h("button", { "aria-label": "further away", title: "further away (-)", onclick: () => board.zoom(0.8) }, "−"), h("button", { title: "all of it (0)", onclick: board.fit }, "All")),
    hint,
  );
  board.widen(0.5 * 1.08 ** 40);
  board.take("loop");

  function tell() {
    for (const button of buttons) button.setAttribute("aria-pressed", String(button.dataset.tool === board.tool()));
    hint.textContent = TOOLS.find(([tool]) => tool === board.tool())?.[3] ?? "";
  }
  tell();
  return {
    element,
    tell,
    /** @param {number} by */
    widen(by) {
      board.widen(board.radius() * by);
      wide.value = String(Math.round(Math.log(board.radius() / 0.5) / Math.log(1.08)));
    },
  };
}
