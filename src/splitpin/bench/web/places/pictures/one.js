/** One found picture on the light table: made straight, cropped, its paper white, its dots smoothed. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { tidy } from "../../core/fitting.js";
import { ask } from "../../core/link.js";
import { card, licences, question } from "./card.js";
import { light } from "./light.js";
import { shown } from "./shown.js";

/** @typedef {import("../../core/fitting.js").Fit} Fit */
/** @typedef {import("./card.js").Print} Print */
/** @typedef {import("./light.js").Way} Way */

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @param {string} name
 * @returns {import("../../main.js").Open}
 */
export function openOne(root, bench, name) {
  const { desk } = bench;
  const at = `pictures/${encodeURIComponent(name)}`;
  const side = h("div", { class: "pictures-side" });
  const table = h("div", { class: "pictures-table" });
  root.append(h("div", { class: "pictures-one" }, table, side), licences());
  /** @type {Print | null} */
  let print = null;
  /** @type {Fit} */
  let fit = {};
  let noted = "{}";
  let mended = false;
  let here = true;
  /** @type {{by?: string, lpi?: (number | null)[], soft?: number | null} | null} */
  let looked = null;
  /** @type {ReturnType<typeof light> | null} */
  let board = null;
  /** @type {ReturnType<typeof shown> | null} */
  let pictures = null;

  async function read() {
    const told = await ask("GET", "pictures");
    const one = told.pictures.find((/** @type {Print} */ p) => p.name === name);
    if (!here) return;
    if (!one?.width) {
      const why = one?.mistakes[0];
      root.replaceChildren(h("div", { class: "paper empty" }, h("h2", {}, name), h("p", {}, why ? `${why.found}. ${why.remedy}.` : "No such picture lies on the desk."), h("a", { class: "button", href: "/pictures" }, "All pictures")));
      return;
    }
    const first = print === null;
    print = one;
    const kept = JSON.stringify(tidy(one.document.fit));
    // What is being tried is not thrown away because something else in the film has changed.
    if (first || (kept !== noted && !mended)) fit = tidy(one.document.fit);
    noted = kept;
    if (!board) {
      const size = { width: one.width, height: one.height };
      board = light({ size, name, changed: (some) => change(some), picked: (way, tone) => pick(way, tone), nearer: (scale) => pictures?.nearer(scale) });
      table.append(board.element, ways());
      pictures = shown(at, size, (before, after) => board?.show(before, after));
      board.turn("wipe");
    }
    board.steps(fit);
    draw();
    tellSteps();
  }

  /** What is seen: white and black are picked where nothing is stretched yet. */
  function draw() {
    const way = board?.way();
    const plain = way === "white" || way === "black";
    pictures?.want(tidy({ ...fit, crop: null, ...(plain ? { white: null, black: null } : {}) }));
  }

  /** @param {Partial<Fit>} some */
  function change(some) {
    fit = tidy({ ...fit, ...some });
    mended = JSON.stringify(fit) !== noted;
    board?.steps(fit);
    draw();
    tellSteps();
  }

  /** @param {"white" | "black"} way @param {[number, number, number]} tone */
  function pick(way, tone) {
    turn("wipe");
    change({ [way]: tone });
  }

  /** @param {Way} way */
  function turn(way) {
    board?.turn(board.way() === way && way !== "wipe" ? "wipe" : way);
    for (const button of table.querySelectorAll("[data-way]")) button.setAttribute("aria-pressed", String(/** @type {HTMLElement} */ (button).dataset.way === board?.way()));
    draw();
  }

  function ways() {
    /** @type {[Way, string, string][]} */
    const all = [["wipe", "Before, after", "W"], ["line", "Level line", "L"], ["crop", "Crop", "R"], ["white", "Paper white", "P"], ["black", "Ink black", "I"]];
    return h(
      "div",
      { class: "pictures-ways", role: "toolbar", "aria-label": "what the hand does" },
      all.map(([way, text, key]) => h("button", { "data-way": way, "aria-pressed": String(way === "wipe"), title: `${text} (${key})`, onclick: () => turn(way) }, text)),
      h("span", { class: "pictures-zoom" }, h("button", { "aria-label": "further away", title: "further away (-)", onclick: () => board?.zoom(0.8) }, "−"), h("button", { title: "all of it (0)", onclick: () => board?.fit() }, "All"), h("button", { "aria-label": "nearer", title: "nearer (+)", onclick: () => board?.zoom(1.25) }, "+")),
    );
  }

  const look = () => void bench.attempt(() => ask("POST", `${at}/look`));
  const keep = () =>
    void bench.attempt(async () => {
      await ask("PUT", `${at}/fit`, fit);
      mended = false;
      bench.say(Object.keys(fit).length ? `${name} is used with these steps from now on; its file stays as it was found` : `${name} is used as it was found`);
      await desk.refresh();
    });

  function tellSteps() {
    if (!print) return;
    const one = print;
    const took = (/** @type {keyof Fit} */ key) => h("button", { class: "plain", onclick: () => change({ [key]: undefined }), "aria-label": `without ${key}` }, "without");
    const angle = /** @type {HTMLInputElement} */ (h("input", { type: "number", step: "0.05", min: "-45", max: "45", value: fit.straighten ?? 0, "aria-label": "turn by degrees, anticlockwise", onchange: () => change({ straighten: Math.max(-45, Math.min(45, Number(angle.value) || 0)) }) }));
    const rows = [
      h("li", {}, h("b", {}, "Straight"), h("span", { class: "pictures-degrees" }, angle, "°"), h("span", { class: "quiet" }, looked?.by === "page" ? "by the page's edge" : looked?.by === "lines" ? "by its lines of text" : looked?.by === "nothing" && !fit.straighten ? "nothing shows how it lies" : "")),
      h("li", {}, h("b", {}, "Kept"), h("span", { class: "typed" }, fit.crop ? `${fit.crop[2]} × ${fit.crop[3]} px` : "all of it"), fit.crop && took("crop")),
      h("li", {}, h("b", {}, "Paper"), swatch(fit.white), fit.white ? took("white") : h("span", { class: "quiet" }, "as it is")),
      h("li", {}, h("b", {}, "Ink"), swatch(fit.black), fit.black ? took("black") : h("span", { class: "quiet" }, "as it is")),
      h("li", {}, h("b", {}, "Dots"), fit.screens ? h("span", {}, fit.screens.map((screen, n) => h("span", { class: "typed pictures-dots" }, dots(screen, one.document.ppi, looked?.lpi?.[n])))) : h("span", { class: "quiet" }, looked ? "none of a press found" : "not looked for"), fit.screens && took("screens")),
    ];
    side.replaceChildren(
      h("header", {}, h("p", {}, h("a", { href: "/pictures" }, "All pictures")), h("h1", {}, name, question(one))),
      h(
        "section",
        { class: "paper" },
        h("h2", {}, "Make it fit"),
        h("p", { class: "quiet" }, "The scan is never altered; these steps are done whenever it is used."),
        h("ul", { class: "pictures-steps" }, rows),
        looked?.soft ? h("p", {}, h("span", { class: "mark" }, "Soft: "), `${looked.soft} of its pixels hold one real pixel.`) : null,
        h("div", { class: "pictures-do" }, h("button", { class: mended || Object.keys(fit).length ? "" : "first", title: "look it through (F)", onclick: look }, "Look it through"), h("button", { class: mended ? "first" : "", disabled: !mended, title: "keep these steps (S)", onclick: keep }, "Keep"), h("button", { class: "plain", disabled: !Object.keys(fit).length, onclick: () => change({ straighten: 0, crop: null, white: null, black: null, screens: [] }) }, "As found")),
      ),
      h("section", {}, card(bench, one)),
      h("section", { class: "paper old pictures-use" }, h("h2", {}, "What it is used for"), one.cutouts.length ? h("ul", {}, one.cutouts.map((cutout) => h("li", {}, h("a", { href: write("mat", `cutout/${cutout}`) }, cutout)))) : h("p", { class: "quiet" }, "Nothing is cut from it yet."), advice, h("p", {}, h("a", { class: "button", href: write("mat", name) }, "Cut from it"))),
    );
  }

  const advice = h("div", { "aria-live": "polite" });
  async function advise() {
    const told = await ask("GET", `${at}/enlarged`).catch(() => null);
    if (!here || !told) return;
    advice.replaceChildren(
      ...told.enlarged.map((/** @type {any} */ one) =>
        h("p", {}, h("span", { class: "mark" }, `${one.factor.toFixed(1)} times too large: `), h("b", {}, one.cutout), ` in `, h("a", { href: write("reel", "", { frame: firstFrame(desk, one.scene) + one.frame }) }, `${one.scene}, ${one.panel}`), `; ${one.why}. Scan it finer, or show it smaller.`),
      ),
    );
  }

  const worked = (/** @type {Event} */ event) => {
    const work = /** @type {CustomEvent} */ (event).detail;
    if (work.state !== "done" || work.result?.looked !== name) return;
    looked = work.result;
    change({ straighten: 0, crop: null, white: null, black: null, screens: [], ...work.result.fit });
    if (!Object.keys(work.result.fit).length) bench.say(`${name} is straight and clean as it was found`);
  };
  desk.addEventListener("work", worked);
  void bench.attempt(read);
  void advise();

  return {
    keys: [
      { key: "F", name: "look it through", does: look },
      { key: "S", name: "keep these steps", does: keep },
      { key: "W", name: "before and after", does: () => turn("wipe") },
      { key: "L", name: "lay the line that shall be level", does: () => turn("line") },
      { key: "R", name: "crop", does: () => turn("crop") },
      { key: "P", name: "show what is paper white", does: () => turn("white") },
      { key: "I", name: "show what is ink black", does: () => turn("black") },
      { key: "ArrowLeft", name: "wipe to the left", does: () => board?.wipeBy(-0.05) },
      { key: "ArrowRight", name: "wipe to the right", does: () => board?.wipeBy(0.05) },
      { key: "C", name: "cut from it", does: () => bench.go("mat", name) },
      { key: "+", name: "nearer", does: () => board?.zoom(1.25) },
      { key: "-", name: "further away", does: () => board?.zoom(0.8) },
      { key: "0", name: "all of it", does: () => board?.fit() },
      { key: "Escape", name: "all pictures", does: () => bench.go("pictures") },
    ],
    film: () => void bench.attempt(read),
    leave() {
      here = false;
      pictures?.leave();
      desk.removeEventListener("work", worked);
    },
  };
}

/** @param {[number, number, number] | null | undefined} tone */
function swatch(tone) {
  const one = h("i", { class: "pictures-swatch" });
  if (tone) one.style.background = `rgb(${tone.join(" ")})`;
  return tone ? one : null;
}

/**
 * @param {{cell: number, angle: number}} screen
 * @param {number | null} ppi
 * @param {number | null | undefined} told
 */
function dots(screen, ppi, told) {
  const lpi = told ?? (ppi ? ppi / screen.cell : null);
  return `${lpi ? `${lpi.toFixed(0)} lines/inch` : `${screen.cell.toFixed(1)} px`}, ${screen.angle.toFixed(0)}°`;
}

/** @param {import("../../core/desk.js").Desk} desk @param {string} scene */
function firstFrame(desk, scene) {
  return desk.film?.exposures.find((one) => one.scene === scene)?.frame ?? 0;
}
