/** The card of what is chosen: how it lies, in numbers, and what shows of it. */

import { h } from "../../core/dom.js";
import { redrawn } from "./redrawn.js";

/** @typedef {import("./stand.js").Stand} Stand */

const HOLDS = /** @type {[Stand["hold"], string, string][]} */ ([
  ["on", "from here on", "a position of straight-ahead work; it stays until something else moves it"],
  ["here", "here alone", "on this exposure and no other"],
  ["opening", "from the start", "as the scene opens"],
]);

/** @param {Stand} stand */
export function card(stand) {
  const element = h("section", { class: "paper table-card", "aria-label": "what is chosen" });

  function draw() {
    const chosen = stand.chosen;
    const poses = chosen && { ...stand.row?.poses[chosen.who], ...stand.tried?.poses[chosen.who], ...stand.unwritten[chosen.who] };
    if (!chosen || !poses) {
      redrawn(element,
        h("h3", {}, "Nothing is chosen"),
        h("p", { class: "quiet" }, "Take a piece and drag it. What it hangs on follows; its body takes all of it along."),
        hold(),
      );
      return;
    }
    const root = stand.rootOf(chosen.who);
    const whole = chosen.piece === root;
    const of = whole ? "" : `${chosen.piece}.`;
    const pieces = Object.keys(stand.piecesOf(chosen.who));
    const piece = stand.piecesOf(chosen.who)[chosen.piece];
    const set = Object.keys(piece?.set ?? {});
    const shows = `${chosen.piece}.shows`;
    const write = (/** @type {Record<string, number | string | boolean>} */ values, /** @type {string} */ what) => void stand.pose(chosen.who, values, `${what} ${chosen.who}`);
    const number = (/** @type {string} */ channel, /** @type {string} */ name, /** @type {string} */ unit) =>
      h("label", {}, h("span", {}, `${name}, ${unit}`), h("input", {
        type: "number", step: "any", value: String(Math.round(Number(poses[of + channel]) * 100) / 100),
        onchange: (/** @type {Event} */ event) => {
          const value = /** @type {HTMLInputElement} */ (event.target).valueAsNumber;
          if (Number.isFinite(value)) write({ [of + channel]: value }, "lay");
        },
      }));
    const tick = (/** @type {string} */ channel, /** @type {string} */ name) =>
      h("label", { class: "tick" }, h("input", {
        type: "checkbox", checked: poses[of + channel] === true,
        onchange: (/** @type {Event} */ event) => write({ [of + channel]: /** @type {HTMLInputElement} */ (event.target).checked }, name),
      }), ` ${name}`);
    redrawn(element,
      h("div", { class: "table-head" }, h("h3", {}, chosen.who, whole ? null : h("em", {}, ` · ${chosen.piece}`)), pieces.length > 1 && h("select", {
        "aria-label": "which piece", onchange: (/** @type {Event} */ event) => stand.choose({ who: chosen.who, piece: /** @type {HTMLSelectElement} */ (event.target).value }),
      }, pieces.map((name) => h("option", { value: name, selected: name === chosen.piece }, name === root ? `${name} (all)` : name)))),
      h("div", { class: "table-numbers" },
        number("x", whole ? "right" : "shift right", "mm"), number("y", whole ? "up" : "shift up", "mm"),
        number("angle", "turned", "°"), number("scale", "size", "×")),
      h("p", { class: "table-ticks" }, whole && tick("flip", "flipped"), tick("hidden", "hidden"),
        h("button", { class: "plain", title: "higher in the stack (PageUp)", onclick: () => stack(stand, 1) }, "higher"),
        h("button", { class: "plain", title: "lower in the stack (PageDown)", onclick: () => stack(stand, -1) }, "lower")),
      set.length > 0 && h("label", {}, h("span", {}, "shows (X for the next)"), h("select", {
        onchange: (/** @type {Event} */ event) => write({ [shows]: /** @type {HTMLSelectElement} */ (event.target).value }, "swap"),
      }, set.map((name) => h("option", { selected: poses[shows] === name }, name)))),
      hold(),
    );
  }

  function hold() {
    return h("fieldset", { class: "table-hold" }, h("legend", {}, "What I do holds"),
      HOLDS.map(([value, words, title]) => h("label", { title }, h("input", {
        type: "radio", name: "hold", value, checked: stand.hold === value, onchange: () => {
          stand.hold = value;
        },
      }), h("span", {}, words))));
  }

  for (const what of ["here", "chosen", "hold"]) stand.addEventListener(what, draw);
  draw();
  return element;
}

/**
 * Lay what is chosen higher or lower in the stack: the whole member, or a piece of its own.
 *
 * @param {Stand} stand
 * @param {1 | -1} by
 */
export function stack(stand, by) {
  const chosen = stand.chosen;
  if (!chosen) return;
  const piece = chosen.piece === stand.rootOf(chosen.who) ? null : chosen.piece;
  void stand.change("POST", "stack", { who: chosen.who, piece, by });
}

/**
 * Show the next of a replacement set.
 *
 * @param {Stand} stand
 */
export function swap(stand) {
  const chosen = stand.chosen;
  if (!chosen) return;
  const names = Object.keys(stand.piecesOf(chosen.who)[chosen.piece]?.set ?? {});
  const channel = `${chosen.piece}.shows`;
  const now = names.indexOf(String(stand.row?.poses[chosen.who]?.[channel]));
  const next = names[(now + 1) % names.length];
  if (next) void stand.pose(chosen.who, { [channel]: next }, `swap ${chosen.who}`);
}

/**
 * Turn something over, or hide it.
 *
 * @param {Stand} stand
 * @param {"flip" | "hidden"} channel
 */
export function over(stand, channel) {
  const chosen = stand.chosen;
  if (!chosen) return;
  const whole = chosen.piece === stand.rootOf(chosen.who) || channel === "flip";
  const name = whole ? channel : `${chosen.piece}.${channel}`;
  void stand.pose(chosen.who, { [name]: stand.row?.poses[chosen.who]?.[name] !== true }, `${channel === "flip" ? "flip" : "hide"} ${chosen.who}`);
}

/**
 * Move what is chosen by a little.
 *
 * @param {Stand} stand
 * @param {number} x mm.
 * @param {number} y
 * @param {number} turn Degrees.
 */
export function nudge(stand, x, y, turn) {
  const chosen = stand.chosen;
  if (!chosen) return;
  const of = chosen.piece === stand.rootOf(chosen.who) ? "" : `${chosen.piece}.`;
  const pose = { ...stand.row?.poses[chosen.who], ...stand.unwritten[chosen.who] };
  /** @type {Record<string, number>} */
  const values = turn ? { [`${of}angle`]: Number(pose[`${of}angle`]) + turn } : { [`${of}x`]: Number(pose[`${of}x`]) + x, [`${of}y`]: Number(pose[`${of}y`]) + y };
  void stand.pose(chosen.who, values, `nudge ${chosen.who}`);
}
