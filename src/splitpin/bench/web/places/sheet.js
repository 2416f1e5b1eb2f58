/** The sheet: a tall paper column, one line for each exposure of a scene. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";
import { bounds, goOn } from "../core/lines.js";
import { rateOf, seconds } from "../core/time.js";
import { grid } from "./sheet/grid.js";
import { hand } from "./sheet/hand.js";
import { showSounds } from "./sheet/sounds.js";

/**
 * @typedef {object} Line
 * @property {number} frame
 * @property {number} frames
 * @property {string} panel
 * @property {"shot" | "drawn" | "board" | "card"} kind
 * @property {string} key
 * @property {Record<string, string>} cells
 * @property {string[]} sounds
 * @property {{who: string, word: string, shape: string, opening: number}[]} says
 * @property {string[]} hands
 * @property {number} longer Than the moves say, in frames.
 */

/**
 * @typedef {object} Lines
 * @property {string} scene
 * @property {number} first
 * @property {number} frames
 * @property {{who: string, moves: boolean}[]} members
 * @property {{name: string, frame: number, frames: number}[]} panels
 * @property {Line[]} rows
 */

/** @type {import("../main.js").Place} */
export const sheet = {
  enter(root, bench, what, query) {
    const { desk } = bench;
    const film = () => /** @type {import("../core/desk.js").Film} */ (desk.film);
    const order = /** @type {string[]} */ (film().film.scenes);
    const scene = what || (order[0] ?? "");
    const rate = () => rateOf(film().film.rate);
    if (!order.includes(scene)) {
      root.append(h("div", { class: "paper empty" }, h("h2", {}, "No such scene"), h("p", {}, scene ? `${scene} is not in the film.` : "The film has no scene yet."), h("p", {}, h("a", { href: "/board" }, "Lay cards on the board"))));
      return {};
    }
    const address = `scenes/${encodeURIComponent(scene)}`;
    /** @type {Lines | null} */
    let lines = null;
    /** @type {number[]} */
    let peaks = [];
    let everybody = false;
    /** @type {{frames: number[], who: string[]} | null} */
    let copied = null;
    let wanted = Number(query.get("frame") ?? 0) || 0;

    const long = h("p", { class: "typed quiet" });
    const choose = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "scene" }, order.map((name) => h("option", { value: name, selected: name === scene }, `${name}  ${film().documents.scenes[name]?.title ?? ""}`))));
    choose.addEventListener("change", () => bench.go("sheet", choose.value));
    const all = h("button", { "aria-pressed": "false", title: "columns for those who never move, too (A)", onclick: toggleAll }, "Everybody");
    const tool = (/** @type {string} */ word, /** @type {string} */ key, /** @type {() => void} */ does) => h("button", { class: "plain", title: `${word.toLowerCase()} (${key})`, onclick: does }, word);
    const paper = grid(() => chosen());
    const side = hand(bench, address, () => paper.focus());
    root.append(
      h(
        "div",
        { class: "sheet" },
        h("div", { class: "sheet-head" }, h("h1", {}, "Sheet"), choose, long, h("span", { class: "sheet-gap" }), h("span", { class: "sheet-tools", role: "toolbar", "aria-label": "chosen exposures" }, tool("Longer", "]", () => hold((row) => row.frames + 1)), tool("Shorter", "[", () => hold((row) => Math.max(1, row.frames - 1))), tool("Lift", "L", () => hold((row) => row.frames - row.longer)), tool("Take out", "X", () => hold(() => 0)), tool("Copy", "Ctrl+C", copy), tool("Lay", "Ctrl+V", paste), tool("Hands off", "Delete", release), tool("Sounds", "S", sounds)), all),
        h("div", { class: "sheet-desk" }, paper.element, side.element),
      ),
    );

    async function changed() {
      const revision = film().revision;
      const [told, heard] = await Promise.all([ask("GET", `${address}/lines`), ask("GET", `sound/waveform?scene=${encodeURIComponent(scene)}`)]).catch(() => [null, null]);
      if (!told || !root.isConnected || revision < (desk.film?.revision ?? 0)) return;
      lines = told;
      peaks = heard.peaks;
      draw();
    }

    function draw() {
      if (!lines) return;
      const document = film().documents.scenes[scene];
      long.textContent = `${lines.rows.length} exposures, ${lines.frames} frames, ${seconds(lines.frames, rate())}`;
      const members = lines.members.filter((one) => everybody || one.moves).map((one) => one.who);
      paper.lay(lines, members, peaks, rate(), document);
      if (wanted) {
        const at = lines.rows.findLastIndex((row) => row.frame <= wanted);
        paper.choose({ row: Math.max(0, at), column: paper.choice().column, fromRow: Math.max(0, at), fromColumn: paper.choice().column });
        wanted = 0;
      } else chosen();
    }

    /** What is chosen: its lines, and the members whose columns it takes in. */
    function taken() {
      const { top, bottom, left, right } = bounds(paper.choice());
      const who = paper.columns().slice(left, right + 1).map((one) => one.who).filter((one) => one !== "");
      return { rows: lines?.rows.slice(top, bottom + 1) ?? [], who };
    }

    function chosen() {
      if (!lines) return;
      const row = lines.rows[paper.choice().row];
      if (!row) return;
      side.tell(row, paper.columns()[paper.choice().column]?.who ?? "", scene, rate());
      bench.note({ frame: row.frame });
    }

    function toggleAll() {
      everybody = !everybody;
      all.setAttribute("aria-pressed", String(everybody));
      draw();
    }

    function copy() {
      const { rows, who } = taken();
      const everyone = who.length ? who : [...(lines?.members ?? []).map((one) => one.who), "view"];
      copied = { frames: rows.map((row) => row.frame), who: everyone };
      bench.say(`${rows.length === 1 ? "1 exposure" : `${rows.length} exposures`} of ${who.join(", ") || "everybody"} copied: Ctrl+V lays them down from the chosen line on.`);
    }

    function paste() {
      const to = taken().rows[0];
      if (!copied || !to) return bench.say("Nothing is copied yet: choose lines with Shift and the arrows, then Ctrl+C.", true);
      const { frames, who } = copied;
      void bench.attempt(async () => {
        const done = await desk.do("POST", `${address}/copies`, { frames, who, to: to.frame });
        if (done.left) bench.say(`${done.left} of them had no place before the end of the scene.`);
      });
    }

    function release() {
      const { rows, who } = taken();
      void bench.attempt(() => desk.do("POST", `${address}/hands-off`, { frames: rows.map((row) => row.frame), who }));
    }

    function sounds() {
      const row = lines?.rows[paper.choice().row];
      void bench.attempt(() => showSounds(bench, scene, row?.frame ?? 0, rate()));
    }

    /** @param {(row: Line) => number} frames For how many frames each chosen exposure shall be held. */
    function hold(frames) {
      const held = taken().rows.map((row) => ({ frame: row.frame, frames: Math.max(0, frames(row)) }));
      const kept = paper.choice();
      void bench.attempt(async () => {
        await desk.do("POST", `${address}/holds`, { held });
        paper.choose(kept);
      });
    }

    const go = (/** @type {number} */ rows, /** @type {number} */ columns, wider = false) => () =>
      paper.choose(goOn(paper.choice(), rows, columns, { rows: lines?.rows.length ?? 1, columns: paper.columns().length }, wider));
    const page = () => Math.max(1, paper.page() - 1);

    /** @param {number} by */
    function nextScene(by) {
      const to = order[order.indexOf(scene) + by];
      if (to) bench.go("sheet", to);
    }

    void changed().then(() => paper.focus());
    return {
      keys: [
        { key: "ArrowDown", name: "one exposure on", does: go(1, 0) },
        { key: "ArrowUp", name: "one exposure back", does: go(-1, 0) },
        { key: "ArrowLeft", name: "one column to the left", does: go(0, -1) },
        { key: "ArrowRight", name: "one column to the right", does: go(0, 1) },
        { key: "Shift+ArrowDown", name: "choose more lines downwards", does: go(1, 0, true) },
        { key: "Shift+ArrowUp", name: "choose more lines upwards", does: go(-1, 0, true) },
        { key: "Shift+ArrowRight", name: "choose more columns", does: go(0, 1, true) },
        { key: "Shift+ArrowLeft", name: "choose fewer columns", does: go(0, -1, true) },
        { key: "PageDown", name: "a page on", does: () => go(page(), 0)() },
        { key: "PageUp", name: "a page back", does: () => go(-page(), 0)() },
        { key: "Shift+PageDown", name: "choose a page more", does: () => go(page(), 0, true)() },
        { key: "Shift+PageUp", name: "choose a page more upwards", does: () => go(-page(), 0, true)() },
        { key: "Home", name: "to the first exposure", does: go(-1e6, 0) },
        { key: "End", name: "to the last one", does: go(1e6, 0) },
        { key: "Enter", name: "set values by hand, or write what happens", does: () => side.focus() },
        { key: "Delete", name: "hands off: let them lie as the moves say", does: release },
        { key: "Ctrl+C", name: "copy the chosen exposures", does: copy },
        { key: "Ctrl+V", name: "lay them down from the chosen line on", does: paste },
        ...[1, 2, 3, 4, 6, 8].map((n) => ({ key: String(n), name: `hold each for ${n} frame${n > 1 ? "s" : ""}`, does: () => hold(() => n) })),
        { key: "]", name: "hold them one frame longer", does: () => hold((row) => row.frames + 1) },
        { key: "[", name: "hold them one frame shorter", does: () => hold((row) => Math.max(1, row.frames - 1)) },
        { key: "Insert", name: "insert a hold of half a second", does: () => hold((row) => row.frames + Math.round(rate() / 2)) },
        { key: "L", name: "lift what is held: as long as the moves say", does: () => hold((row) => row.frames - row.longer) },
        { key: "X", name: "take the chosen exposures out", does: () => hold(() => 0) },
        { key: "S", name: "the sounds of this scene: hang one here, take one down", does: sounds },
        { key: "A", name: "columns for everybody, or for those who move", does: toggleAll },
        { key: "Ctrl+PageDown", name: "the next scene", does: () => nextScene(1) },
        { key: "Ctrl+PageUp", name: "the scene before", does: () => nextScene(-1) },
        { key: "T", name: "to the Table, at this exposure", does: () => bench.go("table", scene, { frame: lines?.rows[paper.choice().row]?.frame ?? 0 }) },
      ],
      film: () => void changed(),
      leave: () => side.leave(),
    };
  },
};
