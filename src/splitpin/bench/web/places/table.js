/** The table: pose and shoot the drawn film. */

import { write } from "../core/address.js";
import { h } from "../core/dom.js";
import { clock, rateOf } from "../core/time.js";
import { card, nudge, over, stack, swap } from "./table/card.js";
import { cast } from "./table/cast.js";
import { column } from "./table/column.js";
import { kinds } from "./table/kinds.js";
import { moves } from "./table/moves.js";
import { play } from "./table/play.js";
import { Stand } from "./table/stand.js";
import { top } from "./table/top.js";

const HANDS = /** @type {[Stand["hand"], string, string][]} */ ([
  ["pull", "Pull", "a piece goes with the hand, and what it hangs on follows"],
  ["carry", "Carry", "the whole figure goes with the hand"],
  ["turn", "Turn", "a piece turns on its pin"],
  ["shift", "Shift", "a piece is shifted off its pin"],
  ["view", "View", "the camera's rectangle: drag it, or a corner of it"],
]);

/** @type {import("../main.js").Place} */
export const table = {
  enter(root, bench, what, query) {
    const film = () => /** @type {import("../core/desk.js").Film} */ (bench.desk.film);
    const scenes = film().film.scenes;
    const scene = scenes.includes(what) ? what : scenes[0];
    if (!scene) {
      root.append(h("div", { class: "paper empty" }, h("h2", {}, "The table is bare"), h("p", {}, "A scene lies here, exposure by exposure. Write a first panel, and it has one."), h("a", { class: "button first", href: write("board") }, "To the board")));
      return {};
    }
    const stand = new Stand(bench, scene, Number(query.get("frame") ?? 0) || 0);
    const rate = rateOf(film().film.rate);
    const vocabulary = () => void bench.attempt(() => kinds((kind) => void list.begin(kind, ofChosen(stand))));
    const list = moves(stand, vocabulary);
    const board = top(stand, (_from, to, tried, how) => laid(stand, list, to, tried, how));
    const reel = play(stand);
    const head = h("div", { class: "table-time typed" });
    const choice = h("select", { "aria-label": "scene", onchange: () => bench.go("table", /** @type {HTMLSelectElement} */ (choice).value) }, scenes.map((/** @type {string} */ name) => h("option", { selected: name === scene }, name)));
    const hands = HANDS.map(([hand, name, title], n) =>
      h("button", { title: `${title} (${n + 1})`, "data-hand": hand, onclick: () => take(hand) }, name));
    const ghosts = /** @type {HTMLInputElement} */ (h("input", { type: "range", min: 0, max: 3, step: 1, value: stand.ghosts, "aria-label": "ghosts of the exposures before and after", oninput: () => ghost(Number(ghosts.value)) }));
    const toggles = /** @type {[keyof Pick<Stand, "snap" | "chart" | "margins">, string, string][]} */ ([
      ["snap", "Snap", "places and angles in fives (K)"], ["chart", "Field chart", "the field in twelfths (D)"], ["margins", "Margins", "what every screen shows, and where writing is safe (M)"],
    ]).map(([key, name, title]) => h("button", { class: "plain", title, "data-toggle": key, onclick: () => toggle(key) }, name));

    root.append(
      h("div", { class: "table" },
        h("div", { class: "table-bar" }, choice, h("div", { class: "table-hands", role: "group", "aria-label": "what the hand does" }, hands),
          h("label", { class: "table-ghosts", title: "before in blue, after in red (G)" }, h("span", {}, "ghosts"), ghosts), toggles, head, reel.button),
        column(stand),
        h("div", { class: "table-top paper" }, board.element, reel.screen),
        h("div", { class: "table-side" },
          h("button", { class: "first table-expose", title: "this exposure is done; to the next (E)", onclick: expose }, "Expose, and go on ", h("kbd", {}, "E")),
          card(stand), list.element, cast(stand))),
    );

    function tellHead() {
      const row = stand.row;
      head.textContent = row ? `${row.panel}  ${clock(row.frame, rate)}  ${stand.index + 1} of ${stand.rows.length}${row.frames !== (stand.says?.on ?? film().film.on) ? `, held ${row.frames}` : ""}${row.kind === "shot" ? ", shot" : ""}` : "";
      for (const one of hands) one.setAttribute("aria-pressed", String(one.dataset.hand === stand.hand));
      for (const one of toggles) one.setAttribute("aria-pressed", String(stand[/** @type {"snap"} */ (one.dataset.toggle)]));
      ghosts.value = String(stand.ghosts);
    }

    /** @param {Stand["hand"]} hand */
    function take(hand) {
      stand.hand = hand;
      stand.tell("chosen");
    }

    /** @param {number} count */
    function ghost(count) {
      stand.ghosts = count;
      stand.tell("look");
      tellHead();
    }

    /** @param {"snap" | "chart" | "margins"} key */
    function toggle(key) {
      stand[key] = !stand[key];
      stand.tell("look");
      tellHead();
    }

    async function expose() {
      await stand.written();
      if (stand.index + 1 >= stand.rows.length) {
        bench.say("This is the scene's last exposure. Make its panel longer on the board to go on.");
        return;
      }
      board.element.classList.add("exposing");
      setTimeout(() => board.element.classList.remove("exposing"), 160);
      stand.go(stand.index + 1);
    }

    function letGo() {
      stand.laying = false;
      if (stand.tried) stand.drop();
      stand.choose(null);
    }

    /** @param {1 | -1} by */
    function next(by) {
      const placed = stand.row?.placed ?? [];
      const now = placed.findIndex((p) => p.who === stand.chosen?.who && p.piece === stand.chosen.piece);
      const one = placed[(now + by + placed.length) % placed.length];
      if (one) stand.choose({ who: one.who, piece: one.piece });
    }

    for (const one of ["here", "chosen", "step"]) stand.addEventListener(one, tellHead);
    void bench.attempt(async () => {
      await stand.load();
      board.fit();
    });
    return {
      keys: [
        { key: "ArrowRight", name: "one exposure on", does: () => stand.go(stand.index + 1) },
        { key: "ArrowLeft", name: "one exposure back", does: () => stand.go(stand.index - 1) },
        { key: "Home", name: "to the scene's beginning", does: () => stand.go(0) },
        { key: "End", name: "to its end", does: () => stand.go(stand.rows.length - 1) },
        { key: "E", name: "expose: this position is done, go on", does: () => void expose() },
        { key: "P", name: "play from here, or stop", does: reel.toggle },
        { key: "N", name: "choose the next piece", does: () => next(1) },
        { key: "B", name: "choose the piece before", does: () => next(-1) },
        { key: "Shift+ArrowRight", name: "move it 1 mm to the right", does: () => nudge(stand, 1, 0, 0) },
        { key: "Shift+ArrowLeft", name: "move it 1 mm to the left", does: () => nudge(stand, -1, 0, 0) },
        { key: "Shift+ArrowUp", name: "move it 1 mm up", does: () => nudge(stand, 0, 1, 0) },
        { key: "Shift+ArrowDown", name: "move it 1 mm down", does: () => nudge(stand, 0, -1, 0) },
        { key: ",", name: "turn it 1° anticlockwise", does: () => nudge(stand, 0, 0, 1) },
        { key: ".", name: "turn it 1° clockwise", does: () => nudge(stand, 0, 0, -1) },
        { key: "F", name: "flip the figure", does: () => over(stand, "flip") },
        { key: "H", name: "hide it, or show it", does: () => over(stand, "hidden") },
        { key: "X", name: "show the next of its set", does: () => swap(stand) },
        { key: "PageUp", name: "higher in the stack", does: () => stack(stand, 1) },
        { key: "PageDown", name: "lower in the stack", does: () => stack(stand, -1) },
        { key: "L", name: "lay a move by dragging", does: list.arm },
        { key: "V", name: "all kinds of moves", does: vocabulary },
        ...HANDS.map(([hand, name], n) => ({ key: String(n + 1), name: `hand: ${name.toLowerCase()}`, does: () => take(hand) })),
        { key: "G", name: "more ghosts, or none", does: () => ghost((stand.ghosts + 1) % 4) },
        { key: "K", name: "snap to fives", does: () => toggle("snap") },
        { key: "D", name: "field chart", does: () => toggle("chart") },
        { key: "M", name: "safe margins", does: () => toggle("margins") },
        { key: "Escape", name: "let go", does: letGo },
        ...board.keys,
      ],
      film: () => void bench.attempt(() => stand.load()),
      leave() {
        reel.leave();
        stand.leave();
      },
    };
  },
};

/**
 * What a new move says of what is chosen.
 *
 * @param {Stand} stand
 * @returns {Record<string, any>}
 */
function ofChosen(stand) {
  const chosen = stand.chosen;
  if (!chosen) return { who: Object.keys(stand.says?.cast ?? {})[0] ?? "view" };
  return chosen.piece === stand.rootOf(chosen.who) ? { who: chosen.who } : { who: chosen.who, piece: chosen.piece };
}

/**
 * A drag has shown where a move goes: ask for its seconds.
 *
 * @param {Stand} stand
 * @param {{begin: (kind: string, said: Record<string, any>) => Promise<void>}} list
 * @param {[number, number]} to
 * @param {Stand["tried"]} tried
 * @param {string} how
 */
function laid(stand, list, to, tried, how) {
  const chosen = stand.chosen;
  const values = chosen && tried?.poses[chosen.who];
  if (!chosen || !values) return;
  const round = (/** @type {unknown} */ value) => Math.round(Number(value) * 10) / 10;
  const whole = chosen.piece === stand.rootOf(chosen.who);
  const said = { ...ofChosen(stand), seconds: 1 };
  const of = whole ? "" : `${chosen.piece}.`;
  if (how === "turn") void list.begin("bend", { ...said, to: round(values[`${of}angle`]), seconds: 0.5 });
  else void list.begin("slide", { ...said, to: [round(values[`${of}x`]), round(values[`${of}y`])] });
  void to;
}
