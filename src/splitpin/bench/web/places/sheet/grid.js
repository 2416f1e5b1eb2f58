/** The paper of the sheet: only the lines that are seen are there, however long the scene is. */

import { h } from "../../core/dom.js";
import { bounds, rule, seen, towards } from "../../core/lines.js";
import { clock } from "../../core/time.js";
import { waves } from "./waves.js";

const LINE = 27;
/* Pixels of a line. */
const STATES = { shot: "shot", drawn: "drawn", board: "drawing", card: "card" };

/** @typedef {{name: string, title: string, who: string, width: number, text: (row: import("../sheet.js").Line) => string}} Column */

/** @param {() => void} chosen Told when another cell is chosen. */
export function grid(chosen) {
  const heads = h("div", { class: "sheet-heads", role: "row", "aria-rowindex": 1 });
  const wave = waves(LINE);
  const mark = h("div", { class: "sheet-choice" });
  const hand = h("div", { class: "sheet-cell-here" });
  const body = h("div", { class: "sheet-lines", role: "rowgroup" }, wave.element, mark, hand);
  const element = h("div", { class: "sheet-paper paper", role: "grid", tabindex: "0", "aria-label": "exposures", "aria-multiselectable": "true" }, heads, body);
  /** @type {import("../sheet.js").Lines | null} */
  let lines = null;
  /** @type {Column[]} */
  let columns = [];
  /** @type {number[]} */
  let lefts = [];
  let rate = 24;
  /** @type {any} */
  let document_ = {};
  /** @type {import("../../core/lines.js").Choice} */
  let choice = { row: 0, column: 3, fromRow: 0, fromColumn: 3 };
  /** @type {Map<number, HTMLElement>} */
  const laid = new Map();
  /** @type {Map<string, HTMLElement>} */
  const blocks = new Map();
  /** @type {HTMLElement[]} */
  const spare = [];
  let waiting = 0;

  /**
   * @param {import("../sheet.js").Lines} told
   * @param {string[]} members
   * @param {number[]} peaks
   * @param {number} now Frames a second.
   * @param {any} document
   */
  function lay(told, members, peaks, now, document) {
    [lines, rate, document_] = [told, now, document];
    const name = columns[choice.column]?.name;
    columns = [
      { name: "frame", title: "frame", who: "", width: 92, text: (row) => String(row.frame) },
      { name: "held", title: "held", who: "", width: 54, text: (row) => String(row.frames) },
      { name: "action", title: "action", who: "", width: 168, text: () => "" },
      ...members.map((who) => ({ name: who, title: who, who, width: 156, text: (/** @type {import("../sheet.js").Line} */ row) => row.cells[who] ?? "" })),
      { name: "dialogue", title: "dialogue", who: "", width: 132, text: (row) => row.says.map((s) => [s.word, s.shape].filter(Boolean).join("  ")).join(" · ") },
      { name: "sound", title: "sound", who: "", width: 156, text: (row) => row.sounds.map((s) => s.replace(/\.\w+$/, "")).join(" ") },
      { name: "view", title: "view", who: "view", width: 118, text: (row) => row.cells.view ?? "" },
      { name: "state", title: "state", who: "", width: 74, text: (row) => STATES[row.kind] },
    ];
    const kept = columns.findIndex((one) => one.name === name);
    if (kept >= 0 && kept !== choice.column) choice = { ...choice, column: kept, fromColumn: kept };
    let left = 0;
    lefts = columns.map((one) => (left += one.width) - one.width);
    lefts.push(left);
    element.style.setProperty("--across", `${left}px`);
    element.style.setProperty("--down", `${told.rows.length * LINE + 60}px`);
    element.style.setProperty("--columns", columns.map((one) => `${one.width}px`).join(" "));
    element.setAttribute("aria-rowcount", String(told.rows.length + 1));
    element.setAttribute("aria-colcount", String(columns.length));
    heads.replaceChildren(...columns.map((one, n) => h("div", { role: "columnheader", "aria-colindex": n + 1, class: one.who ? "sheet-member" : "" }, one.title)));
    body.style.height = `${told.rows.length * LINE}px`;
    const at = columns.findIndex((one) => one.name === "sound");
    wave.lay(told.rows, peaks, lefts[at] ?? 0, columns[at]?.width ?? 0);
    for (const row of laid.values()) row.remove();
    laid.clear();
    for (const block of blocks.values()) block.remove();
    blocks.clear();
    choice.row = Math.min(choice.row, told.rows.length - 1);
    choice.fromRow = Math.min(choice.fromRow, told.rows.length - 1);
    paint();
    show();
  }

  function paint() {
    waiting = 0;
    if (!lines) return;
    const { rows } = lines;
    const [first, end] = seen(element.scrollTop, element.clientHeight, LINE, rows.length);
    for (const [n, row] of laid)
      if (n < first || n >= end) {
        laid.delete(n);
        spare.push(row);
      }
    for (let n = first; n < end; n++) if (!laid.has(n)) laid.set(n, write(n, spare.pop()));
    for (const row of spare.splice(0)) row.remove();
    wave.paint(first, end);
    actions(first, end);
  }

  /**
   * @param {number} n
   * @param {HTMLElement} [old] A line that is seen no more.
   */
  function write(n, old) {
    const one = /** @type {import("../sheet.js").Line} */ (lines?.rows[n]);
    const row = old?.childElementCount === columns.length ? old : h("div", { role: "row" }, columns.map((_, k) => h("div", { role: "gridcell", "aria-colindex": k + 1 })));
    const before = lines?.rows[n - 1];
    const heavy = rule(one.frame, before ? before.frame : -1, rate);
    row.className = `sheet-line ${heavy} ${before?.panel === one.panel ? "" : "panel"}`;
    row.id = `line-${n}`;
    row.setAttribute("aria-rowindex", String(n + 2));
    row.style.transform = `translateY(${n * LINE}px)`;
    columns.forEach((column, k) => {
      const cell = /** @type {HTMLElement} */ (row.children[k]);
      const text = column.name === "frame" && heavy === "second" ? `${one.frame}  ${clock(one.frame, rate).split("+")[0]}` : column.text(one);
      if (cell.firstChild) cell.firstChild.nodeValue = text;
      else cell.append(text);
      cell.className = `${column.name === "state" ? `state ${one.kind}` : column.who ? "member" : column.name}${column.name === "held" && one.longer ? " longer" : ""}${column.who && one.hands.includes(column.who) ? " touched" : ""}`;
      cell.title = column.who && text.length > 20 ? text : "";
    });
    if (!row.isConnected) body.append(row);
    return row;
  }

  /**
   * What happens runs down the lines of its panel, and stays in sight.
   *
   * @param {number} first
   * @param {number} end
   */
  function actions(first, end) {
    const rows = lines?.rows ?? [];
    const there = new Set();
    for (const panel of lines?.panels ?? []) {
      const top = panelTop(panel.name);
      const count = panelLines(panel.name);
      if (top + count <= first || top >= end) continue;
      there.add(panel.name);
      if (blocks.has(panel.name)) continue;
      const said = document_.panels?.find((/** @type {any} */ one) => one.name === panel.name) ?? {};
      const block = h("div", { class: "sheet-block", "aria-hidden": "true" }, h("div", {}, h("b", { class: "typed" }, panel.name), said.action && h("p", {}, said.action), said.note && h("p", { class: "sheet-note" }, said.note)));
      block.style.top = `${top * LINE}px`;
      block.style.height = `${count * LINE - 2}px`;
      block.style.left = `${lefts[2]}px`;
      block.style.width = `${columns[2]?.width}px`;
      blocks.set(panel.name, block);
      body.append(block);
    }
    for (const [name, block] of blocks)
      if (!there.has(name)) {
        block.remove();
        blocks.delete(name);
      }
    function panelTop(/** @type {string} */ name) {
      return starts().get(name)?.[0] ?? 0;
    }
    function panelLines(/** @type {string} */ name) {
      return starts().get(name)?.[1] ?? 0;
    }
    /** The first line and the number of lines of each panel; found once for each sheet. */
    function starts() {
      if (kept.of !== rows) {
        kept.of = rows;
        kept.all = new Map();
        rows.forEach((row, n) => {
          const one = kept.all.get(row.panel);
          if (one) one[1]++;
          else kept.all.set(row.panel, [n, 1]);
        });
      }
      return kept.all;
    }
  }
  /** @type {{of: unknown, all: Map<string, [number, number]>}} */
  const kept = { of: null, all: new Map() };

  /** Where the hand is, and what is chosen. */
  function show() {
    const { top, bottom, left, right } = bounds(choice);
    const place = (/** @type {HTMLElement} */ one, /** @type {number} */ y, /** @type {number} */ x, /** @type {number} */ down, /** @type {number} */ across) => {
      one.style.transform = `translate(${lefts[x] ?? 0}px, ${y * LINE}px)`;
      one.style.height = `${(down - y + 1) * LINE}px`;
      one.style.width = `${(lefts[across + 1] ?? 0) - (lefts[x] ?? 0)}px`;
    };
    place(mark, top, left, bottom, right);
    place(hand, choice.row, choice.column, choice.row, choice.column);
    element.setAttribute("aria-activedescendant", `line-${choice.row}`);
    heads.querySelectorAll(".here").forEach((one) => one.classList.remove("here"));
    heads.children[choice.column]?.classList.add("here");
  }

  /** @param {import("../../core/lines.js").Choice} to */
  function choose(to) {
    choice = to;
    const high = element.clientHeight - heads.offsetHeight;
    element.scrollTop = towards(element.scrollTop, high, LINE, choice.row);
    const left = lefts[choice.column] ?? 0;
    const right = lefts[choice.column + 1] ?? left;
    if (right > element.scrollLeft + element.clientWidth) element.scrollLeft = right - element.clientWidth + 12;
    if (left < element.scrollLeft + (lefts[2] ?? 0)) element.scrollLeft = Math.max(0, left - (lefts[2] ?? 0));
    paint();
    show();
    chosen();
  }

  /** @param {PointerEvent} event */
  function under(event) {
    const box = body.getBoundingClientRect();
    const x = event.clientX - box.left;
    const y = event.clientY - box.top;
    const pinned = event.clientX - element.getBoundingClientRect().left;
    const column = pinned < (lefts[2] ?? 0) ? lefts.findLastIndex((left) => left <= pinned) : lefts.findLastIndex((left) => left <= x);
    return { row: Math.max(0, Math.min((lines?.rows.length ?? 1) - 1, Math.floor(y / LINE))), column: Math.max(0, Math.min(columns.length - 1, column)) };
  }
  body.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    const at = under(event);
    choose(event.shiftKey ? { ...choice, ...at } : { ...at, fromRow: at.row, fromColumn: at.column });
    if (event.pointerType !== "touch") body.setPointerCapture(event.pointerId);
  });
  body.addEventListener("pointermove", (event) => {
    if (!body.hasPointerCapture(event.pointerId)) return;
    const at = under(event);
    if (at.row !== choice.row || at.column !== choice.column) choose({ ...choice, ...at });
  });
  let slid = 0;
  element.addEventListener("scroll", () => {
    if (element.scrollLeft !== slid) {
      slid = element.scrollLeft;
      element.classList.toggle("slid", slid > 0);
      element.style.setProperty("--slid", `${slid}px`);
    }
    if (!waiting) waiting = requestAnimationFrame(paint);
  }, { passive: true });
  new ResizeObserver(paint).observe(element);

  return {
    element,
    lay,
    choose,
    choice: () => choice,
    columns: () => columns,
    focus: () => element.focus({ preventScroll: true }),
    /** How many lines are seen at once. */
    page: () => Math.floor((element.clientHeight - heads.offsetHeight) / LINE),
  };
}
