/** The moves of a scene: those that work now first to see, a form for the one that is chosen, a new one to lay. */

import { h } from "../../core/dom.js";
import { redrawn } from "./redrawn.js";
import { form, vocabulary } from "./form.js";

/** @typedef {import("./stand.js").Stand} Stand */

/**
 * @param {Stand} stand
 * @param {() => void} card Opens the vocabulary.
 */
export function moves(stand, card) {
  const list = h("ol", { class: "table-moves" });
  const sheet = h("div", {});
  const lay = h("button", { "aria-pressed": "false", title: "drag a piece from here to there (L)", onclick: arm }, "Lay a move");
  const element = h("section", { class: "paper old table-card", "aria-label": "moves" },
    h("div", { class: "table-head" }, h("h3", {}, "Moves"), lay, h("button", { class: "plain", title: "every kind of move (V)", onclick: () => card() }, "kinds")),
    sheet, list);

  function arm() {
    stand.laying = !stand.laying;
    stand.tell("chosen");
  }

  function draw() {
    lay.setAttribute("aria-pressed", String(stand.laying));
    const frame = stand.row?.frame ?? 0;
    redrawn(list,
      ...stand.moves
        .filter((one) => !stand.chosen || one.who === stand.chosen.who || one.move === stand.move)
        .map((one) => {
          const now = frame >= one.frame && frame < one.frame + one.frames;
          return h("li", { class: now ? "now" : "" },
            h("button", { class: "plain", "aria-pressed": String(one.move === stand.move), onclick: () => pick(one.move === stand.move ? null : one.move) },
              h("b", {}, one.name ?? one.kind), one.name && one.name !== one.kind ? ` ${one.kind}` : "",
              h("span", { class: "quiet" }, ` ${one.who}${one.keys.piece ? ` · ${one.keys.piece}` : ""}`)),
            h("button", { class: "plain typed", title: "go to its start", onclick: () => stand.go(stand.rows.findIndex((row) => row.frame === one.frame)) }, `${one.frame}–${one.frame + one.frames - 1}`));
        }),
    );
    if (!stand.moves.length) list.replaceChildren(h("li", { class: "quiet" }, "Nothing moves yet. Press L and drag a piece from here to there."));
  }

  /** @param {number | null} move */
  function pick(move) {
    stand.show(move);
    if (move !== null) stand.go(stand.rows.findIndex((row) => row.frame === (stand.shown?.frame ?? 0)));
    void open();
  }

  /** The form of the move that is chosen. */
  async function open() {
    const shown = stand.shown;
    if (!shown) {
      sheet.replaceChildren();
      return;
    }
    const { moves: kinds, eases } = await vocabulary();
    const kind = kinds.find((one) => one.move === shown.kind);
    if (!kind || shown !== stand.shown) return;
    const keys = form(stand, kind, shown.keys, eases);
    sheet.replaceChildren(h("form", { class: "table-slip", onsubmit: (/** @type {Event} */ event) => {
      event.preventDefault();
      const said = keys.read();
      const changed = Object.fromEntries(Object.entries(said).filter(([key, value]) => JSON.stringify(value) !== JSON.stringify(shown.keys[key] ?? null)));
      if (Object.keys(changed).length) void stand.change("PATCH", `moves/${shown.move}`, { keys: changed });
    } },
    h("p", { class: "quiet" }, kind.summary), keys.element,
    h("p", { class: "table-buttons" }, h("button", { class: "first" }, "Change it"),
      h("button", { type: "button", onclick: () => away(shown.move) }, "Take it away"),
      h("button", { type: "button", class: "plain", onclick: () => pick(null) }, "Close"))));
  }

  /** @param {number} move */
  function away(move) {
    stand.show(null);
    sheet.replaceChildren();
    void stand.edit("take a move away", [{ path: ["moves", move], value: null }]);
  }

  /**
   * A new move, with what a drag said of it.
   *
   * @param {string} word
   * @param {Record<string, any>} said
   */
  async function begin(word, said) {
    const { moves: kinds, eases } = await vocabulary();
    const kind = kinds.find((one) => one.move === word) ?? kinds[0];
    if (!kind) return;
    stand.show(null);
    if (kind.works_on === "view") said = { ...said, who: "view" };
    const who = h("select", { "aria-label": "who moves" }, [...Object.keys(stand.says?.cast ?? {}), ...(stand.says?.background ? ["background"] : []), "view"].map((one) => h("option", { selected: one === said.who }, one)));
    const keys = form(stand, kind, said, eases);
    const choice = h("select", { "aria-label": "which move", onchange: () => void begin(/** @type {HTMLSelectElement} */ (choice).value, { ...kept(keys.read()), who: /** @type {HTMLSelectElement} */ (who).value }) },
      kinds.filter((one) => one.move !== "posed").map((one) => h("option", { selected: one === kind, title: one.summary }, one.move)));
    const end = () => {
      stand.laying = false;
      stand.drop();
      sheet.replaceChildren();
      stand.tell("chosen");
    };
    sheet.replaceChildren(h("form", { class: "table-slip new", onsubmit: (/** @type {Event} */ event) => {
      event.preventDefault();
      void (async () => {
        const told = await stand.change("POST", "moves", { frame: stand.row?.frame ?? 0, move: { move: kind.move, who: /** @type {HTMLSelectElement} */ (who).value, ...kept(keys.read()) } });
        if (!told) return;
        end();
        stand.show(told.move);
        void open();
      })();
    } },
    h("div", { class: "table-numbers" }, h("label", {}, h("span", {}, "move"), choice), h("label", {}, h("span", {}, "who"), who)),
    h("p", { class: "quiet" }, kind.summary), keys.element,
    h("p", { class: "table-buttons" }, h("button", { class: "first" }, "Lay it"), h("button", { type: "button", onclick: end }, "Leave it"))));
    sheet.scrollIntoView({ block: "nearest" });
    const seconds = /** @type {HTMLInputElement | null} */ (sheet.querySelector("[data-key=seconds]"));
    seconds?.focus({ preventScroll: true });
    seconds?.select();
  }

  for (const what of ["here", "chosen"]) stand.addEventListener(what, draw);
  stand.addEventListener("here", () => {
    if (stand.shown && !sheet.contains(document.activeElement)) void open();
  });
  return { element, begin, arm };
}

/** What is said of the keys, without those that are left empty. @param {Record<string, unknown>} said */
function kept(said) {
  return Object.fromEntries(Object.entries(said).filter(([, value]) => value !== null));
}
