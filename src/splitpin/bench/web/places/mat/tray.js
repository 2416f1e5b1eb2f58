/** Beside the mat: the piece over its ground, what it leaves, its edge and ink, its name. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { GROUNDS } from "./seen.js";

/**
 * @param {{bench: import("../../main.js").Bench, view: ReturnType<typeof import("./seen.js").seen>, sheet: ReturnType<typeof import("./draft.js").draft>, cutout: string | undefined, picture: () => string, ppi: () => number | null, save: (name: string, again: boolean) => void, mend: (name: string, again: boolean) => void, turn: (leaves: boolean) => void}} told
 */
export function tray({ bench, view, sheet, cutout, picture, ppi, save, mend, turn }) {
  const film = () => /** @type {import("../../core/desk.js").Film} */ (bench.desk.film);
  let leaves = false;
  let seed = 0;
  const tabs = [false, true].map((is) => h("button", { role: "tab", "aria-selected": String(!is), title: is ? "what it leaves (B)" : "the piece (B)", onclick: () => show(is) }, is ? "What it leaves" : "The piece"));
  const grounds = GROUNDS.map(([ground, name]) => h("button", { class: `mat-ground ${ground}`, "aria-pressed": String(ground === "white"), "aria-label": `seen over ${name}`, title: `over ${name} (G)`, onclick: () => over(ground) }));
  const scenes = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "whose background", hidden: true, onchange: lay }));
  const anew = h("button", { class: "plain", hidden: true, title: "let chance fill it otherwise", onclick: () => { seed += 1; turn(true); } }, "Fill it otherwise");
  const state = h("p", { class: "mat-state quiet", role: "status" });
  const soft = h("button", { "aria-pressed": "true", title: "as paper, hair and fur are (T)", onclick: () => sheet.change({ edge: "soft" }) }, "Soft");
  const sharp = h("button", { "aria-pressed": "false", title: "crisp, as a blade leaves it (T)", onclick: () => sheet.change({ edge: "knife" }) }, "Knife");
  const ink = /** @type {HTMLInputElement} */ (h("input", { type: "number", min: "0", max: "20", step: "0.05", value: "0", "aria-label": "ink along the cut edge, mm", onchange: () => sheet.change({ ink_mm: Math.max(0, Math.min(20, Number(ink.value) || 0)) }) }));
  const assumed = h("p", { class: "quiet small" });
  const name = /** @type {HTMLInputElement} */ (h("input", { value: cutout ?? "", spellcheck: "false", "aria-label": "the cut-out's name", oninput: tell }));
  const cut = h("button", { class: "first", title: "cut it (S)", onclick: keep }, "Cut it out");
  const further = h("div", { class: "mat-further" });
  const element = h(
    "div",
    { class: "mat-side" },
    h("div", { class: "mat-seen" }, h("div", { class: "mat-tabs", role: "tablist" }, tabs), view.element, h("div", { class: "mat-grounds" }, grounds, scenes, anew, state)),
    h(
      "div",
      { class: "paper mat-card" },
      h("div", { class: "mat-edge" }, h("span", { class: "mat-label" }, "edge"), h("span", { class: "mat-pair" }, soft, sharp), h("label", {}, h("span", {}, "ink, mm"), ink)),
      assumed,
      h("form", { class: "mat-name", onsubmit: (/** @type {Event} */ event) => { event.preventDefault(); keep(); } }, h("label", {}, h("span", {}, "name"), name), cut),
      further,
    ),
  );

  /** @param {boolean} is */
  function show(is) {
    leaves = is;
    tabs.forEach((tab, n) => tab.setAttribute("aria-selected", String((n === 1) === is)));
    for (const one of grounds) one.hidden = is;
    anew.hidden = !is;
    scenes.hidden = is || view.ground() !== "film";
    turn(is);
  }

  /** @param {import("./seen.js").Ground} ground */
  function over(ground) {
    view.over(ground);
    GROUNDS.forEach(([one], n) => grounds[n]?.setAttribute("aria-pressed", String(one === ground)));
    scenes.hidden = ground !== "film";
    if (ground === "film") lay();
  }

  /** The background of a scene, at its size beside the piece. */
  function lay() {
    const own = Object.entries(film().documents.scenes).flatMap(([scene, told]) => (told.background && film().documents.cutouts[told.background] ? [[scene, told.background]] : []));
    if (!scenes.options.length) scenes.append(...own.map(([scene, background]) => h("option", { value: background }, `${scene}: ${background}`)));
    const background = scenes.value || own[0]?.[1];
    if (!background) {
      state.textContent = "No scene has a background yet.";
      return;
    }
    const image = new Image();
    image.onload = () => view.background(image, film().documents.cutouts[background].width_mm);
    image.src = `/api/files/cutouts/${encodeURIComponent(background)}.png?${film().revision}`;
  }

  function taken() {
    return name.value !== cutout && name.value in film().documents.cutouts;
  }

  function keep() {
    if (sheet.enough() && name.value.trim()) save(name.value.trim(), taken());
  }

  /** @param {string} wish */
  function free(wish) {
    let one = wish;
    for (let n = 2; one in film().documents.cutouts; n++) one = `${wish}-${n}`;
    return one;
  }

  function tell() {
    const now = sheet.now();
    if (!name.value && picture() && document.activeElement !== name) name.value = free(picture());
    soft.setAttribute("aria-pressed", String(now.edge === "soft"));
    sharp.setAttribute("aria-pressed", String(now.edge === "knife"));
    if (document.activeElement !== ink) ink.value = String(now.ink_mm);
    assumed.textContent = now.ink_mm && ppi() === null ? "Nobody said how finely it was scanned: 300 pixels per inch are taken." : "";
    const same = name.value === cutout;
    cut.textContent = same ? "Cut it anew" : taken() ? "Cut over that one" : "Cut it out";
    /** @type {HTMLButtonElement} */ (cut).disabled = !sheet.enough() || !name.value.trim() || (same && !sheet.dirty());
    further.hidden = !cutout;
    if (cutout && !further.childElementCount) {
      const wall = /** @type {HTMLInputElement} */ (h("input", { value: free(`${picture()}-mended`), spellcheck: "false", "aria-label": "the mended background's name" }));
      further.append(
        h("label", {}, h("span", {}, "what it leaves, mended, as"), wall),
        h("button", { onclick: () => mend(wall.value.trim(), wall.value in film().documents.cutouts) }, "Mend it"),
        h("a", { class: "button", href: write("mat", `split/${cutout}`) }, "Part it at its joints"),
      );
    }
  }

  return {
    element,
    tell,
    save: keep,
    seed: () => seed,
    leaves: () => leaves,
    toggle: () => show(!leaves),
    nextGround() {
      const at = GROUNDS.findIndex(([one]) => one === view.ground());
      over(/** @type {import("./seen.js").Ground} */ (GROUNDS[(at + 1) % GROUNDS.length]?.[0]));
    },
    /** @param {string} text */
    wrong(text) {
      const open = sheet.now().edge === "knife" && sheet.now().knife.length > 0;
      state.textContent = text || (sheet.enough() ? "" : open ? "Lead the knife back to its first point." : "Draw a loop around the thing, a little outside of it.");
      state.classList.toggle("mark", text !== "");
    },
    /** @param {[number, number, number, number]} box */
    seen(box) {
      const mm = 25.4 / (ppi() ?? 300);
      state.textContent = `${box[2]} × ${box[3]} px, ${(box[2] * mm).toFixed(1)} mm wide`;
    },
    /** @param {boolean} is */
    busy(is) {
      element.classList.toggle("busy", is);
    },
  };
}
