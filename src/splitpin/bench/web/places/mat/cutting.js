/** A thing is cut out of a picture: drawn on the left, seen on the right, written down by its recipe. */

import { h } from "../../core/dom.js";
import { ask, Refused } from "../../core/link.js";
import { draft } from "./draft.js";
import { pencil } from "./pencil.js";
import { seen } from "./seen.js";
import { toolbox } from "./toolbox.js";
import { tray } from "./tray.js";

/** @typedef {import("../../core/drawing.js").Point} Point */
/** @typedef {import("./pencil.js").Tool} Tool */

const MM_PER_INCH = 25.4;
const PPI = 300;

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @param {{picture?: string, cutout?: string}} what A picture to cut from, or a cut-out to go on with.
 * @returns {import("../../main.js").Open}
 */
export function cutting(root, bench, { picture: from, cutout }) {
  const { desk } = bench;
  let picture = from ?? "";
  let size = { width: 600, height: 400 };
  /** @type {number | null} */
  let ppi = null;
  let stamp = "";
  let recipe = "";
  /** @type {Point[][]} */
  let outline = [];
  let here = true;
  let busy = false;
  let wanted = false;
  let mending = 0;
  let mendedOf = "";
  const at = () => `mat/pictures/${encodeURIComponent(picture)}`;
  const sheet = draft(`splitpin-mat ${desk.film?.folder} ${cutout ? `cutout ${cutout}` : picture}`, drew);
  const board = pencil({ at, size: () => size, name: picture || (cutout ?? ""), draft: sheet, outline: () => outline, looked });
  const view = seen({ size: () => size, name: "the piece", mm: () => MM_PER_INCH / (ppi ?? PPI) });
  const tools = toolbox(board, sheet, take);
  const beside = tray({ bench, view, sheet, cutout, picture: () => picture, ppi: () => ppi, save, mend, turn });
  root.append(h("div", { class: "mat" }, tools.element, h("div", { class: "mat-green" }, board.element), beside.element));

  /** @type {import("../../core/view.js").View | null} */
  let last = null;
  /** @param {import("../../core/view.js").View} now */
  function looked(now) {
    if (now === last) return;
    last = now;
    requestAnimationFrame(() => view.beside(now, board.canvas));
  }

  new ResizeObserver(() => last && view.beside(last, board.canvas)).observe(view.canvas);

  async function read() {
    if (cutout) {
      const told = await ask("GET", `mat/cutouts/${encodeURIComponent(cutout)}`);
      if (told.recipe?.kind !== "cut") {
        bench.go("mat", `split/${cutout}`);
        return;
      }
      picture = told.recipe.picture;
      const now = JSON.stringify(told.recipe);
      if (now !== recipe) {
        recipe = now;
        const { box } = told.recipe;
        const loop = box && !told.recipe.loop.length ? [[box[0], box[1]], [box[0] + box[2], box[1]], [box[0] + box[2], box[1] + box[3]], [box[0], box[1] + box[3]]] : told.recipe.loop;
        ppi = told.recipe.ppi ?? null;
        sheet.begin({ ...told.recipe, loop });
      }
    }
    const found = (await ask("GET", "pictures")).pictures.find((/** @type {any} */ one) => one.name === picture);
    if (!here) return;
    if (!found?.width) {
      root.replaceChildren(h("div", { class: "paper empty" }, h("h2", {}, picture), h("p", {}, "No such picture lies on the desk."), h("a", { class: "button", href: "/mat" }, "Choose another")));
      return;
    }
    if (!cutout) ppi = found.document.ppi;
    if (stamp === found.stamp) return;
    const first = !stamp;
    stamp = found.stamp;
    const image = new Image();
    image.src = `/api/pictures/${encodeURIComponent(picture)}/print.jpg?side=4000&stamp=${stamp}`;
    await image.decode();
    if (!here) return;
    const { crop } = found.document.fit;
    size = crop ? { width: crop[2], height: crop[3] } : { width: found.width, height: found.height };
    board.show(image);
    board.fit();
    view.fit();
    if (first && !cutout) sheet.begin(null);
    void look();
  }

  function drew() {
    tools.tell();
    beside.tell();
    board.redraw();
    void look();
  }

  /** The piece as it would be cut now; while one is on its way, only the latest drawing waits. */
  async function look() {
    if (!stamp) return;
    if (!sheet.enough()) {
      outline = [];
      view.show(null);
      beside.wrong("");
      return;
    }
    wanted = true;
    if (busy) return;
    busy = true;
    beside.busy(true);
    while (wanted && here) {
      wanted = false;
      try {
        const told = await ask("POST", `${at()}/draft`, sheet.recipe());
        const image = new Image();
        image.src = `/api/mat/shown/${told.key}`;
        await image.decode();
        if (!here) return;
        outline = told.outline;
        view.show({ box: told.box, picture: image });
        if (last) view.beside(last, board.canvas);
        beside.wrong("");
        beside.seen(told.box);
        if (beside.leaves()) mendDraft();
      } catch (problem) {
        if (!(problem instanceof Refused)) throw problem;
        outline = [];
        view.show(null);
        const [one] = problem.mistakes;
        beside.wrong(one ? `${sentence(one.found)} ${sentence(one.remedy)}` : "It cannot be cut.");
      }
      board.redraw();
    }
    busy = false;
    beside.busy(false);
  }

  /** @param {boolean} leaves Whether what the piece leaves is looked at. */
  function turn(leaves) {
    view.turn(leaves);
    if (last) view.beside(last, board.canvas);
    if (leaves) mendDraft();
  }

  function mendDraft() {
    const asked = JSON.stringify([sheet.recipe(), beside.seed()]);
    if (!sheet.enough() || asked === mendedOf) return;
    mendedOf = asked;
    void bench.attempt(async () => {
      mending = (await ask("POST", `${at()}/mended`, { recipe: sheet.recipe(), seed: beside.seed() })).number;
    });
  }

  /** @param {string} name @param {boolean} again */
  function save(name, again) {
    const told = sheet.recipe();
    void bench.attempt(async () => {
      if (cutout && name === cutout) await ask("PUT", `mat/cutouts/${encodeURIComponent(cutout)}`, told);
      else await ask("POST", `${at()}/cut`, { name, recipe: told, again });
    });
  }

  /** @param {string} name @param {boolean} again */
  function mend(name, again) {
    void bench.attempt(() => ask("POST", `${at()}/mend`, { name, piece: cutout, seed: beside.seed(), again }));
  }

  const worked = (/** @type {Event} */ event) => {
    const work = /** @type {CustomEvent} */ (event).detail;
    if (work.state === "failed" && work.number === mending) mendedOf = "";
    if (work.state !== "done" || !work.result) return;
    if (work.number === mending && work.result.mended) {
      const image = new Image();
      image.src = `/api/mat/shown/${work.result.mended}`;
      image.onload = () => view.leave(image);
    }
    if (work.result.kind === "cut") {
      for (const one of work.result.warnings) bench.say(`${one.file}: ${one.found}. ${one.remedy}.`, true);
      bench.say(`${work.result.saved} is cut`);
      sheet.done();
      if (work.result.saved !== cutout) bench.go("mat", `cutout/${work.result.saved}`);
      else beside.tell();
    }
    if (work.result.kind === "mend") bench.say(`${work.result.saved} is mended: a cut-out that can be a scene's background`);
  };
  desk.addEventListener("work", worked);
  void bench.attempt(read);

  /** @param {Tool} tool */
  function take(tool) {
    board.take(tool);
    tools.tell();
    board.redraw();
  }

  return {
    keys: [
      { key: "L", name: "draw a rough loop", does: () => take("loop") },
      { key: "K", name: "set knife points", does: () => take("knife") },
      { key: "P", name: "pencil over what to keep", does: () => take("keep") },
      { key: "X", name: "pencil over what to drop", does: () => take("drop") },
      { key: "E", name: "rub out strokes and points", does: () => take("rub") },
      { key: "[", name: "a finer pencil", does: () => tools.widen(1 / 1.25) },
      { key: "]", name: "a wider pencil", does: () => tools.widen(1.25) },
      { key: "Enter", name: "set a point where the hand is", does: () => board.put() },
      { key: "C", name: "close the loop, or the knife's way", does: () => board.close() },
      ...[["ArrowLeft", -1, 0, "left"], ["ArrowRight", 1, 0, "right"], ["ArrowUp", 0, -1, "up"], ["ArrowDown", 0, 1, "down"]].flatMap(([key, x, y, way]) => [
        { key: String(key), name: `the hand ${way}`, does: () => board.nudge(Number(x) * 12, Number(y) * 12) },
        { key: `Shift+${key}`, name: `a little ${way}`, does: () => board.nudge(Number(x) * 2, Number(y) * 2) },
      ]),
      { key: "Ctrl+Z", name: "take back the latest stroke, then the latest step", does: () => void (sheet.back() || bench.attempt(() => desk.undo())) },
      { key: "Ctrl+Shift+Z", name: "draw it again", does: () => void (sheet.again() || bench.attempt(() => desk.redo())) },
      { key: "T", name: "a soft edge, or the knife's", does: () => sheet.change({ edge: sheet.now().edge === "soft" ? "knife" : "soft" }) },
      { key: "G", name: "another ground under the piece", does: () => beside.nextGround() },
      { key: "B", name: "the piece, or what it leaves", does: () => beside.toggle() },
      { key: "S", name: "cut it", does: () => beside.save() },
      ...board.keys,
    ],
    film: () => void bench.attempt(read),
    leave() {
      here = false;
      desk.removeEventListener("work", worked);
    },
  };
}

/** @param {string} words */
function sentence(words) {
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}.`;
}
