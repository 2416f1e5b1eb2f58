/** The board as it lies on the desk: a row of cards for each scene. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { rateOf, seconds } from "../../core/time.js";
import { card } from "./card.js";
import { drag } from "./drag.js";
import { screen } from "./screen.js";

/**
 * @typedef {object} Panel
 * @property {string} name
 * @property {number} frames
 * @property {string[]} voices
 * @property {string} seen Differs when the drawing has changed.
 */

/** @typedef {{revision: number, frames: number, scenes: {name: string, frames: number, panels: Panel[]}[]}} Told */

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @param {string} wanted The scene to begin at; empty for the first.
 * @returns {import("../../main.js").Open}
 */
export function rows(root, bench, wanted) {
  const { desk } = bench;
  /** @type {Told | null} */
  let told = null;
  /** @type {Map<string, import("./card.js").Card>} */
  const cards = new Map();
  /** @type {Map<string, {element: HTMLElement, tell: (place: number, many: number, frames: number) => void, lay: HTMLElement}>} */
  const scenes = new Map();
  const film = () => /** @type {import("../../core/desk.js").Film} */ (desk.film);
  const rate = () => rateOf(film().film.rate);
  const total = h("p", { class: "board-total typed" });
  const seen = screen(bench, (scene, panel) => mark(`${scene}/${panel}`));
  const play = h("button", { class: "first", onclick: () => seen.toggle(current()) }, "Play the board");
  seen.element.addEventListener("playing", () => (play.textContent = seen.playing() ? "Stop" : "Play the board"));
  const lying = h("div", { class: "board-scenes" });
  root.append(
    h("div", { class: "board" }, h("div", { class: "board-head" }, h("h1", {}, "Board"), total, h("span", { class: "board-gap" }), play, h("button", { onclick: newScene }, "New scene")), seen.element, lying),
  );

  const current = () => /** @type {HTMLElement | null} */ (document.activeElement?.closest(".board-card"))?.dataset.card ?? root.querySelector(".board-card.here")?.getAttribute("data-card") ?? null;

  /** @param {string} key */
  function mark(key) {
    for (const [name, one] of cards) one.element.classList.toggle("here", name === key);
    cards.get(key)?.element.scrollIntoView({ block: "nearest", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
  }

  async function changed() {
    const now = await ask("GET", "board").catch(() => null);
    if (!now || !root.isConnected) return;
    told = now;
    draw();
  }

  function draw() {
    if (!told) return;
    // Of the board and the documents one may come sooner; with the other everything is drawn.
    const panels = (/** @type {string} */ name) => film().documents.scenes[name]?.panels.length;
    if (told.scenes.some((scene) => panels(scene.name) !== scene.panels.length)) return;
    const focus = /** @type {HTMLElement | null} */ (document.activeElement);
    const there = new Set();
    const order = told.scenes.map((scene, n) => {
      const document = film().documents.scenes[scene.name];
      const row = scenes.get(scene.name) ?? newRow(scene.name);
      row.tell(n, told?.scenes.length ?? 0, scene.frames);
      const laid = scene.panels.map((panel, i) => {
        const key = `${scene.name}/${panel.name}`;
        there.add(key);
        const one = cards.get(key) ?? card(bench, scene.name, panel.name, { move, current: () => told, hear: (key) => seen.only(key) });
        cards.set(key, one);
        one.tell(document.panels[i], panel, rate(), i, scene.panels.length);
        return one.element;
      });
      relay(row.lay, [...laid, /** @type {HTMLElement} */ (row.lay.lastElementChild)]);
      return row.element;
    });
    for (const key of [...cards.keys()].filter((one) => !there.has(one))) {
      cards.get(key)?.element.remove();
      cards.delete(key);
    }
    relay(lying, order);
    for (const name of [...scenes.keys()].filter((one) => !told?.scenes.some((s) => s.name === one))) scenes.delete(name);
    const many = told.scenes.reduce((sum, one) => sum + one.panels.length, 0);
    total.textContent = `${many} cards · ${seconds(told.frames, rate())} · ${told.frames} frames`;
    seen.changed(told);
    // An element that is laid elsewhere loses the focus it had.
    if (focus?.isConnected && focus !== document.activeElement) focus.focus({ preventScroll: true });
  }

  /** @param {string} name */
  function newRow(name) {
    const title = /** @type {HTMLInputElement} */ (h("input", { class: "board-title", "aria-label": `title of ${name}`, maxlength: 200, placeholder: name }));
    title.addEventListener("change", () => void bench.attempt(() => desk.edit("name the scene", [{ document: `scenes/${name}.toml`, path: ["title"], value: title.value.trim() || null }])));
    const long = h("span", { class: "typed quiet" });
    const up = h("button", { class: "plain", title: "this scene earlier", "aria-label": `${name} earlier`, onclick: () => moveScene(name, -1) }, "earlier");
    const down = h("button", { class: "plain", title: "this scene later", "aria-label": `${name} later`, onclick: () => moveScene(name, 1) }, "later");
    const out = h("button", { class: "plain", "aria-label": `take out ${name}`, onclick: () => takeOut(name) }, "take out");
    const more = h("button", { class: "board-new", title: "a new card", "aria-label": `a new card in ${name}`, onclick: () => add(name, 1e5) }, h("span", {}, "+"));
    const lay = h("div", { class: "board-row", role: "list" }, more);
    const element = h("section", { "aria-label": name, id: `scene-${name}` }, h("header", {}, title, long, h("code", { class: "quiet" }, name), h("span", { class: "board-tools" }, up, down, out)), lay);
    const row = {
      element,
      lay,
      tell(/** @type {number} */ place, /** @type {number} */ many, /** @type {number} */ frames) {
        if (document.activeElement !== title) title.value = film().documents.scenes[name]?.title ?? "";
        long.textContent = seconds(frames, rate());
        /** @type {HTMLButtonElement} */ (up).disabled = place === 0;
        /** @type {HTMLButtonElement} */ (down).disabled = place === many - 1;
        /** @type {HTMLButtonElement} */ (out).disabled = many === 1;
      },
    };
    scenes.set(name, row);
    return row;
  }

  /**
   * @param {string} scene
   * @param {number} at
   */
  async function add(scene, at) {
    await bench.attempt(async () => {
      const made = await desk.do("POST", `scenes/${encodeURIComponent(scene)}/panels`, { at });
      await changed();
      cards.get(`${scene}/${made.panel}`)?.focus();
    });
  }

  /**
   * @param {string} scene
   * @param {string} panel
   * @param {number} at
   * @param {string} [to]
   */
  async function move(scene, panel, at, to) {
    await bench.attempt(() => desk.do("POST", `scenes/${encodeURIComponent(scene)}/panels/${encodeURIComponent(panel)}/move`, { at, scene: to ?? scene }));
    await changed();
    cards.get(`${to ?? scene}/${panel}`)?.focus();
  }

  /**
   * @param {string} name
   * @param {number} by
   */
  function moveScene(name, by) {
    const order = [...film().film.scenes];
    const at = order.indexOf(name);
    order.splice(at + by, 0, ...order.splice(at, 1));
    void bench.attempt(() => desk.edit(`move scene ${name}`.slice(0, 100), [{ document: "film.toml", path: ["scenes"], value: order }]));
  }

  function newScene() {
    const taken = Object.keys(film().documents.scenes);
    let number = taken.length * 10 + 10;
    while (taken.some((one) => one.startsWith(String(number).padStart(3, "0")))) number += 10;
    const name = `${String(number).padStart(3, "0")}-scene`;
    void bench.attempt(async () => {
      await desk.edit("new scene", [
        { document: `scenes/${name}.toml`, path: [], value: { format: 1, panels: [{ name: "opening", seconds: 2 }] } },
        { document: "film.toml", path: ["scenes"], value: [...film().film.scenes, name] },
      ]);
      await changed();
      cards.get(`${name}/opening`)?.focus();
    });
  }

  /** @param {string} name */
  function takeOut(name) {
    void bench.attempt(async () => {
      await desk.edit(`take out scene ${name}`.slice(0, 100), [{ document: "film.toml", path: ["scenes"], value: film().film.scenes.filter((/** @type {string} */ one) => one !== name) }]);
      bench.say(`${name} is out of the film; its document stays in scenes/, and Ctrl+Z puts it back.`);
    });
  }

  drag(lying, move);
  void changed().then(() => wanted && document.getElementById(`scene-${wanted}`)?.scrollIntoView());
  const here = (/** @type {(one: import("./card.js").Card) => void} */ does) => () => {
    const one = cards.get(current() ?? "");
    if (one) does(one);
    else cards.values().next().value?.focus();
  };
  const by = (/** @type {number} */ step) => () => {
    const all = [...root.querySelectorAll(".board-card")].map((one) => one.getAttribute("data-card") ?? "");
    const at = all.indexOf(current() ?? "");
    cards.get(all[Math.max(0, Math.min(all.length - 1, at + step))] ?? "")?.focus();
  };
  return {
    keys: [
      { key: "Space", name: "play the board from this card, or stop", does: () => seen.toggle(current()) },
      { key: "ArrowRight", name: "to the next card", does: by(1) },
      { key: "ArrowLeft", name: "to the card before", does: by(-1) },
      { key: "Enter", name: "write on this card", does: here((one) => one.write()) },
      { key: "D", name: "draw on it", does: here((one) => one.draw()) },
      { key: "V", name: "record its voice, or stop", does: here((one) => one.voice()) },
      { key: "H", name: "hear and see only this card", does: () => seen.only(current()) },
      { key: "Ctrl+ArrowRight", name: "lay it one place later", does: here((one) => one.shift(1)) },
      { key: "Ctrl+ArrowLeft", name: "lay it one place earlier", does: here((one) => one.shift(-1)) },
      { key: "N", name: "a new card after it", does: here((one) => add(one.scene, one.place() + 1)) },
      { key: "S", name: "split it in its middle", does: here((one) => one.split()) },
      { key: "J", name: "join it and the next", does: here((one) => one.join()) },
      { key: "+", name: "one frame longer", does: here((one) => one.longer(1)) },
      { key: "-", name: "one frame shorter", does: here((one) => one.longer(-1)) },
      { key: "Delete", name: "take it out", does: here((one) => one.remove()) },
      { key: "Escape", name: "stop playing", does: () => seen.stop() },
    ],
    film: () => void changed(),
    leave() {
      seen.leave();
      for (const one of cards.values()) one.leave();
    },
  };
}

/**
 * Lay elements in an order, and touch none that lies there already.
 *
 * @param {HTMLElement} place
 * @param {HTMLElement[]} order
 */
function relay(place, order) {
  order.forEach((one, n) => {
    if (place.children[n] !== one) place.insertBefore(one, place.children[n] ?? null);
  });
  while (place.children.length > order.length) place.lastElementChild?.remove();
}
