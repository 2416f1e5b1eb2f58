/** A cut-out is parted at its joints: lines are drawn, the parts and their pins are seen, a character is made. */

import { thinned, told } from "../../core/drawing.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { easel } from "../../elements/easel.js";
import { ownArrows } from "./own.js";
import { line, pin } from "./strokes.js";

/** @typedef {import("../../core/drawing.js").Point} Point */
/** @typedef {{points: Point[], name: string, lies: "over" | "under" | "drop"}} Cut */
/** @typedef {{name: string, box: [number, number, number, number], holder: string | null, pin: Point | null, radius: number, key: string, picture?: HTMLImageElement}} Part */

const RED = "#b3301c";

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @param {string} name Of the cut-out.
 * @returns {import("../../main.js").Open}
 */
export function parting(root, bench, name) {
  const { desk } = bench;
  const film = () => /** @type {import("../../core/desk.js").Film} */ (desk.film);
  const at = `mat/cutouts/${encodeURIComponent(name)}`;
  const size = film().documents.cutouts[name];
  if (!size) {
    root.append(h("div", { class: "paper empty" }, h("h2", {}, name), h("p", {}, "There is no such cut-out."), h("a", { class: "button", href: "/mat" }, "Choose another")));
    return {};
  }
  /** @type {Cut[]} */
  let cuts = [];
  let body = "body";
  let asDrawn = false;
  let degrees = 60;
  let character = name;
  /** @type {Part[]} */
  let parts = [];
  /** @type {string[]} */
  let order = [];
  let apart = 0.5;
  /** @type {Point[]} */
  let drawn = [];
  let number = 0;
  const whole = new Image();
  whole.src = `/api/files/cutouts/${encodeURIComponent(name)}.png?${film().revision}`;
  whole.onload = () => board.redraw();
  const board = easel({ size: () => size, name: `${name} on the mat`, draw }, { down, move, up, lost: forget });
  const seen = easel({ size: spreadOut, name: `${name} in parts`, draw: drawParts }, {});
  board.canvas.style.cursor = "crosshair";
  const list = h("ol", { class: "mat-cuts" });
  const state = h("p", { class: "mat-state quiet", role: "status" });
  const spread = /** @type {HTMLInputElement} */ (h("input", { type: "range", min: "0", max: "100", value: "50", "aria-label": "how far apart they are shown", oninput: () => { apart = Number(spread.value) / 100; seen.fit(); }, onkeydown: ownArrows }));
  const save = h("button", { class: "first", disabled: true, title: "part it (S)", onclick: keep }, "Part it");
  const who = field("the character's name", character, (text) => (character = text));
  const turn = /** @type {HTMLInputElement} */ (h("input", { type: "number", min: "0", max: "180", value: "60", "aria-label": "how far each joint turns either way, degrees", onchange: () => (degrees = Math.max(0, Math.min(180, Number(turn.value) || 0))) }));
  const stay = /** @type {HTMLInputElement} */ (h("input", { type: "checkbox", onchange: () => { asDrawn = stay.checked; look(); } }));
  root.append(
    h(
      "div",
      { class: "mat mat-parting" },
      h("div", { class: "mat-green" }, board.element),
      h(
        "div",
        { class: "mat-side" },
        h("div", { class: "mat-seen" }, h("h2", {}, "In parts"), seen.element, h("div", { class: "mat-grounds" }, h("label", { class: "mat-spread" }, h("span", {}, "apart"), spread), state)),
        h(
          "div",
          { class: "paper mat-card" },
          list,
          h("div", { class: "mat-edge" }, h("label", {}, h("span", {}, "each turns, °"), turn), h("label", { class: "mat-check" }, stay, " lines stay as drawn")),
          h("div", { class: "mat-name" }, h("label", {}, h("span", {}, "as the character"), who), save),
        ),
      ),
    ),
  );
  tell();

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function draw(pen, view) {
    const one = 1 / view.scale;
    pen.shadowColor = "rgb(30 40 30 / 0.45)";
    pen.shadowBlur = 10;
    pen.shadowOffsetY = 3;
    if (whole.complete && whole.naturalWidth) pen.drawImage(whole, 0, 0, size.width, size.height);
    pen.shadowColor = "transparent";
    cuts.forEach((cut, n) => {
      line(pen, cut.points, one, RED, { fine: 2 });
      const [x, y] = /** @type {Point} */ (cut.points[0]);
      pen.font = `700 ${16 * one}px "Alegreya Sans"`;
      pen.lineWidth = 4 * one;
      pen.strokeStyle = "#fff";
      pen.strokeText(String(n + 1), x + 6 * one, y - 6 * one);
      pen.fillStyle = RED;
      pen.fillText(String(n + 1), x + 6 * one, y - 6 * one);
    });
    if (drawn.length) line(pen, drawn, one, RED);
    for (const part of parts) if (part.pin) pin(pen, part.pin, one);
  }

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function drawParts(pen, view) {
    const one = 1 / view.scale;
    const [left, top] = corner();
    pen.translate(-left, -top);
    for (const which of order) {
      const part = parts.find((p) => p.name === which);
      if (!part?.picture) continue;
      const [dx, dy] = moved(part);
      pen.shadowColor = "rgb(50 45 30 / 0.5)";
      pen.shadowBlur = 9;
      pen.shadowOffsetY = 3;
      pen.drawImage(part.picture, part.box[0] + dx, part.box[1] + dy, part.box[2], part.box[3]);
      pen.shadowColor = "transparent";
      if (part.pin) pin(pen, [part.pin[0] + dx, part.pin[1] + dy], one);
    }
  }

  /** How far a part lies from its place, so that all of it is seen. @param {Part} part @returns {Point} */
  function moved(part) {
    const [x, y, width, height] = part.box;
    const [left, top, wide, high] = parts[0]?.box ?? part.box;
    return [(x + width / 2 - left - wide / 2) * apart * 1.6, (y + height / 2 - top - high / 2) * apart * 1.6];
  }

  /** @returns {Point} */
  function corner() {
    return [Math.min(0, ...parts.map((part) => part.box[0] + moved(part)[0])), Math.min(0, ...parts.map((part) => part.box[1] + moved(part)[1]))];
  }

  /** What all parts take up. */
  function spreadOut() {
    const [left, top] = corner();
    return {
      width: Math.max(size.width, ...parts.map((part) => part.box[0] + part.box[2] + moved(part)[0])) - left,
      height: Math.max(size.height, ...parts.map((part) => part.box[1] + part.box[3] + moved(part)[1])) - top,
    };
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function down({ x, y }) {
    drawn = [[x, y]];
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function move({ x, y }) {
    if (drawn.length) drawn.push([x, y]);
    board.redraw();
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function up({ unit }) {
    const points = told(thinned(drawn, 1.5 * unit));
    drawn = [];
    const [a, b] = [points[0], points.at(-1)];
    if (a && b && points.length > 1 && Math.hypot(a[0] - b[0], a[1] - b[1]) > 12 * unit) add(points);
    board.redraw();
  }

  function forget() {
    drawn = [];
    board.redraw();
  }

  /** @param {Point[]} points */
  function add(points) {
    const taken = new Set(cuts.map((cut) => cut.name));
    let n = cuts.length + 1;
    while (taken.has(`part-${n}`)) n++;
    cuts = [...cuts, { points, name: `part-${n}`, lies: "over" }];
    tell();
    look();
  }

  /** @param {number} n */
  function away(n) {
    cuts = cuts.filter((_, k) => k !== n);
    tell();
    look();
  }

  function asked() {
    const those = (/** @type {string} */ lies) => cuts.filter((cut) => cut.lies === lies).map((cut) => cut.name);
    return { lines: cuts.map((cut) => cut.points), names: [body, ...cuts.map((cut) => cut.name)], under: those("under"), drop: those("drop"), as_drawn: asDrawn };
  }

  /** See the parts; what was asked before is let go. */
  function look() {
    parts = [];
    board.redraw();
    seen.redraw();
    /** @type {HTMLButtonElement} */ (save).disabled = true;
    state.textContent = "";
    if (!cuts.length) return;
    void bench.attempt(async () => {
      const before = number;
      if (before && desk.work.get(before)?.state === "waiting") await ask("DELETE", `work/${before}`);
      number = (await ask("POST", `${at}/parts`, asked())).number;
    });
  }

  function keep() {
    if (!parts.length) return;
    const own = Object.keys(film().documents.cutouts);
    const again = character in film().documents.characters || asked().names.some((one) => own.includes(`${name}-${one}`));
    void bench.attempt(() => ask("POST", `${at}/split`, { ...asked(), character, degrees, again }));
  }

  function tell() {
    list.replaceChildren(
      h("li", {}, field("what the largest part is called", body, (text) => { body = text; look(); }), h("span", { class: "quiet" }, "the largest; the others hang on it")),
      ...cuts.map((cut, n) => {
        const lies = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": `how part ${n + 1} lies`, onchange: () => { cut.lies = /** @type {Cut["lies"]} */ (lies.value); look(); } }, [["over", "lies over"], ["under", "lies under"], ["drop", "drops, as a jaw"]].map(([value, text]) => h("option", { value, selected: value === cut.lies }, text))));
        return h("li", {}, h("b", { class: "mark" }, String(n + 1)), field(`what part ${n + 1} is called`, cut.name, (text) => { cut.name = text; look(); }), lies, h("button", { class: "plain", "aria-label": `without line ${n + 1}`, onclick: () => away(n) }, "without"));
      }),
      ...(cuts.length ? [] : [h("li", { class: "quiet" }, "Draw a line across each joint, from outside to outside: arm from body, jaw from head.")]),
    );
  }

  const worked = (/** @type {Event} */ event) => {
    const work = /** @type {CustomEvent} */ (event).detail;
    if (work.state !== "done" || !work.result) return;
    if (work.number === number && work.result.parted === name) {
      parts = work.result.parts;
      order = work.result.order;
      for (const part of parts) {
        part.picture = new Image();
        part.picture.onload = () => seen.fit();
        part.picture.src = `/api/mat/shown/${part.key}`;
      }
      const moved = work.result.moved.length;
      state.textContent = moved ? `${moved} line${moved > 1 ? "s" : ""} moved to where the limb begins` : "";
      /** @type {HTMLButtonElement} */ (save).disabled = false;
      board.redraw();
    }
    if (work.result.kind === "split") {
      bench.say(`${work.result.saved} lies in its envelope`);
      bench.go("envelopes", work.result.saved);
    }
  };
  desk.addEventListener("work", worked);

  return {
    keys: [
      { key: "Backspace", name: "take the latest line away", does: () => away(cuts.length - 1) },
      { key: "S", name: "part it", does: keep },
      { key: "Escape", name: "back to the cut-out", does: () => bench.go("mat", `cutout/${name}`) },
      ...board.keys,
    ],
    leave: () => desk.removeEventListener("work", worked),
  };
}

/** @param {string} label @param {string} value @param {(text: string) => void} changed */
function field(label, value, changed) {
  const one = /** @type {HTMLInputElement} */ (h("input", { value, spellcheck: "false", "aria-label": label, onchange: () => changed(one.value.trim()) }));
  return one;
}
