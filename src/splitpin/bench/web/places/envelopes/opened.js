/** One envelope opened: the figure laid out, its pieces in a pile, and a card for the piece in hand. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { bender } from "./bend.js";
import { card } from "./card.js";
import { layout } from "./layout.js";
import { pile } from "./pile.js";

/** @typedef {import("../../main.js").Bench} Bench */

/**
 * What the parts of an opened envelope share.
 *
 * @typedef {object} Opened
 * @property {Bench} bench
 * @property {string} name
 * @property {() => any} told What the server told of the character; null before that.
 * @property {() => any} document What its document says.
 * @property {() => string} chosen The piece in hand.
 * @property {(piece: string) => void} choose
 * @property {(doing: Record<string, unknown>) => Promise<void>} change Pin it otherwise.
 * @property {(label: string, path: (string | number)[], value: unknown) => Promise<void>} write Write into its document.
 */

/**
 * @param {HTMLElement} root
 * @param {Bench} bench
 * @param {string} name
 * @param {URLSearchParams} query
 * @returns {import("../../main.js").Open}
 */
export function opened(root, bench, name, query) {
  /** @type {any} */
  let told = null;
  let chosen = query.get("piece") ?? "";
  /** @type {Opened} */
  const one = {
    bench,
    name,
    told: () => told,
    document: () => bench.desk.film?.documents.characters[name] ?? { pieces: {} },
    chosen: () => chosen,
    choose(piece) {
      if (piece === chosen) return;
      chosen = piece;
      bench.note({ piece });
      show();
    },
    change: (doing) => bench.attempt(() => bench.desk.do("POST", `characters/${encodeURIComponent(name)}`, { doing })),
    write: (label, path, value) => bench.attempt(() => bench.desk.edit(label, [{ document: `characters/${name}.toml`, path, value }])),
  };
  const sheet = layout(one);
  const bend = bender(one, (placed) => sheet.bend(placed));
  const heap = pile(one);
  const slip = card(one, sheet, bend);
  const title = /** @type {HTMLInputElement} */ (h("input", { class: "envelopes-title", "aria-label": "what stands on the envelope", maxlength: 200, onchange: () => void one.write("name the envelope", ["title"], title.value.trim() || null) }));
  const count = h("p", { class: "quiet typed" });
  root.append(
    h(
      "div",
      { class: "envelopes-open" },
      h("header", { class: "envelopes-flap" }, h("a", { class: "button plain", href: write("envelopes") }, "All envelopes"), title, count, h("i", { class: "envelopes-button" })),
      heap.element,
      sheet.element,
      slip.element,
    ),
  );

  async function read() {
    const revision = bench.desk.film?.revision;
    if (!bench.desk.film?.documents.characters[name]) {
      told = null;
      root.replaceChildren(h("div", { class: "paper empty" }, h("h2", {}, "No such envelope"), h("p", {}, `There is no character ${name}, or its pieces do not hang together.`), h("p", {}, h("a", { href: write("envelopes") }, "All envelopes"))));
      return;
    }
    const found = await ask("GET", `characters/${encodeURIComponent(name)}`);
    if (bench.desk.film?.revision !== revision) return;
    told = found;
    if (!told.pins[chosen]) chosen = told.root;
    show();
  }

  function show() {
    if (!told) return;
    title.value = one.document().title || name;
    const all = told.list.reduce((/** @type {number} */ sum, /** @type {any} */ line) => sum + line.wanted + line.spares, 0);
    const where = told.scenes.length === 0 ? "in no scene yet" : `in ${told.scenes.length} ${told.scenes.length === 1 ? "scene" : "scenes"}`;
    count.textContent = `${all} cut-outs, ${where}`;
    sheet.show();
    heap.show();
    slip.show();
    bend.show();
  }

  /** @param {number} by */
  const step = (by) => {
    const up = [...(told?.order ?? [])].reverse();
    const next = up[Math.max(0, Math.min(up.length - 1, up.indexOf(chosen) + by))];
    if (next) one.choose(next);
  };
  void bench.attempt(read);
  return {
    keys: [
      { key: "ArrowUp", name: "the piece above", does: () => step(-1) },
      { key: "ArrowDown", name: "the piece below", does: () => step(1) },
      { key: "Alt+ArrowUp", name: "lay it higher in the pile", does: () => heap.lift(1) },
      { key: "Alt+ArrowDown", name: "lay it lower", does: () => heap.lift(-1) },
      { key: "P", name: "set its pin: click where it turns", does: () => sheet.pinning(!sheet.isPinning()) },
      { key: "[", name: "bend it clockwise", does: () => bend.step(-1) },
      { key: "]", name: "bend it the other way", does: () => bend.step(1) },
      { key: "R", name: "let it rest", does: () => bend.rest() },
      { key: "Shift+ArrowLeft", name: "push it 1 mm to the left", does: () => sheet.push(-1, 0) },
      { key: "Shift+ArrowRight", name: "to the right", does: () => sheet.push(1, 0) },
      { key: "Shift+ArrowUp", name: "up", does: () => sheet.push(0, 1) },
      { key: "Shift+ArrowDown", name: "down", does: () => sheet.push(0, -1) },
      { key: "H", name: "hang it on another", does: () => slip.focus("on") },
      { key: "N", name: "add a piece", does: () => slip.focus("add") },
      { key: "Delete", name: "take it away", does: () => void one.change({ do: "take", piece: chosen }) },
      { key: "Escape", name: "all envelopes", does: () => (sheet.isPinning() ? sheet.pinning(false) : bench.go("envelopes")) },
      ...sheet.keys,
    ],
    film: () => void bench.attempt(read),
  };
}
