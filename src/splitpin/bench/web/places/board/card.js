/** One card of the board. */

import { h } from "../../core/dom.js";
import { Refused } from "../../core/link.js";
import { framesOf, secondsOf } from "../../core/seconds.js";
import { recorder } from "./voice.js";

/**
 * @typedef {object} Card
 * @property {HTMLElement} element
 * @property {string} scene
 * @property {() => number} place Among the cards of its scene.
 * @property {(document: any, panel: import("./rows.js").Panel, rate: number, place: number, many: number) => void} tell
 * @property {() => void} focus
 * @property {() => void} write
 * @property {() => void} draw
 * @property {() => void} voice
 * @property {(by: number) => void} shift
 * @property {() => void} split
 * @property {() => void} join
 * @property {() => void} remove
 * @property {(frames: number) => void} longer
 * @property {() => void} leave
 */

/**
 * @param {import("../../main.js").Bench} bench
 * @param {string} scene
 * @param {string} panel
 * @param {{move: (scene: string, panel: string, at: number, to?: string) => void, current: () => import("./rows.js").Told | null, hear: (key: string) => void}} hands
 * @returns {Card}
 */
export function card(bench, scene, panel, hands) {
  const { desk } = bench;
  const document_ = `scenes/${scene}.toml`;
  const address = `scenes/${encodeURIComponent(scene)}/panels/${encodeURIComponent(panel)}`;
  const id = `${scene}-${panel}`;
  let rate = 24;
  let frames = 1;
  let place = 0;
  let many = 1;
  /** @type {any} */
  let said = {};

  const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false", loading: "lazy" }));
  const sight = h("a", { class: "board-sight", href: `/board/${encodeURIComponent(scene)}/${encodeURIComponent(panel)}`, title: "draw (D)", "aria-label": `draw on ${panel}` }, picture, h("span", { class: "board-blank" }, "draw here"));
  const name = /** @type {HTMLInputElement} */ (h("input", { class: "board-name typed", "aria-label": "name of the card", maxlength: 80, spellcheck: "false" }));
  const long = /** @type {HTMLInputElement} */ (h("input", { class: "board-seconds typed", "aria-label": "seconds", inputmode: "decimal" }));
  const count = h("span", { class: "quiet board-frames" });
  const speaker = /** @type {HTMLInputElement} */ (h("input", { class: "board-speaker", "aria-label": "who speaks", placeholder: "who", maxlength: 80, list: `cast-${id}` }));
  const names = h("datalist", { id: `cast-${id}` });
  const action = line("action", "what happens", "board-action");
  const sound = line("sound", "what is heard", "board-sound");
  const says = line("says", "what is said", "board-says");
  const voice = h("button", { class: "plain", title: "record a scratch voice (V)" }, "voice");
  const parts = /** @type {HTMLButtonElement} */ (h("button", { class: "plain", title: "split it in its middle (S)", onclick: split }, "split"));
  const joins = /** @type {HTMLButtonElement} */ (h("button", { class: "plain", title: "join it and the next (J)", onclick: join }, "join"));
  const out = /** @type {HTMLButtonElement} */ (h("button", { class: "plain", title: "take it out (Delete)", onclick: remove }, "out"));
  const recording = recorder(bench, voice, address);
  voice.addEventListener("click", () => recording.toggle(frames / rate));

  const element = h(
    "article",
    { class: "board-card", role: "listitem", tabindex: "0", "aria-label": `card ${panel}`, "data-card": `${scene}/${panel}`, "data-scene": scene, "data-panel": panel },
    h("div", { class: "board-grip", title: "drag it, or Ctrl with ← and →" }, h("i", { class: "board-pin" }), name),
    sight,
    h("div", { class: "board-words" }, action, sound, h("div", { class: "board-line" }, speaker, names, says)),
    h("div", { class: "board-foot" }, h("label", { class: "board-long" }, long, h("b", {}, "s")), count, recording.mark),
    h("div", { class: "board-tools" }, h("button", { class: "plain", title: "see and hear only this card (H)", onclick: () => hands.hear(`${scene}/${panel}`) }, "hear"), voice, parts, joins, out),
  );

  name.addEventListener("change", () => {
    const to = name.value.trim();
    if (to && to !== panel) void attempt(() => desk.do("POST", `${address}/name`, { name: to }), () => (name.value = panel));
    else name.value = panel;
  });
  speaker.addEventListener("change", () => write("speaker", speaker.value.trim()));
  long.addEventListener("change", () => {
    const to = framesOf(long.value, rate);
    if (to === null) {
      bench.say(`${long.value}: expected seconds, such as 2.5, or frames, such as 60f`, true);
      long.value = secondsOf(frames, rate);
    } else last(to);
  });
  long.addEventListener("keydown", (event) => {
    if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
    event.preventDefault();
    last(frames + (event.key === "ArrowUp" ? 1 : -1));
  });
  for (const field of [name, speaker, long])
    field.addEventListener("keydown", (event) => {
      if (event.key === "Enter") field.blur();
      if (event.key === "Enter" || event.key === "Escape") element.focus();
    });

  /**
   * @param {"action" | "sound" | "says"} key
   * @param {string} hint
   * @param {string} look
   */
  function line(key, hint, look) {
    const field = /** @type {HTMLTextAreaElement} */ (h("textarea", { class: look, rows: 1, placeholder: hint, "aria-label": hint, maxlength: 4000 }));
    field.addEventListener("change", () => write(key, field.value.trim()));
    field.addEventListener("input", () => grow(field));
    field.addEventListener("keydown", (event) => {
      if (event.key === "Escape" || (event.key === "Enter" && !event.shiftKey)) {
        event.preventDefault();
        field.blur();
        element.focus();
      }
    });
    return field;
  }

  /**
   * @param {() => Promise<unknown>} action
   * @param {() => void} [back] When it was refused.
   */
  async function attempt(action, back) {
    await bench.attempt(async () => {
      try {
        await action();
      } catch (problem) {
        if (problem instanceof Refused) back?.();
        throw problem;
      }
    });
  }

  /**
   * @param {string} key
   * @param {string} value
   */
  function write(key, value) {
    if ((said[key] ?? "") === value) return;
    void attempt(() => desk.edit(`write on ${panel}`.slice(0, 100), [{ document: document_, path: ["panels", place, key], value: value || null }]), () => show(said));
  }

  /** @param {number} to Frames. */
  function last(to) {
    if (to === frames || to < 1) return;
    const inFrames = said.frames !== null && said.frames !== undefined;
    const value = inFrames ? to : Number(secondsOf(to, rate));
    void attempt(() => desk.edit(`length of ${panel}`.slice(0, 100), [{ document: document_, path: ["panels", place, inFrames ? "frames" : "seconds"], value }], { join: false }));
  }

  function split() {
    const on = desk.film?.documents.scenes[scene]?.on ?? desk.film?.film.on ?? 1;
    const half = Math.max(1, Math.round(frames / 2 / on) * on || 1);
    void attempt(() => desk.do("POST", `${address}/split`, { frames: Math.min(half, frames - 1) || 1 }));
  }

  function join() {
    if (place + 1 < many) void attempt(() => desk.do("POST", `${address}/join`));
  }

  function remove() {
    const next = /** @type {HTMLElement | null} */ (element.nextElementSibling ?? element.previousElementSibling);
    void attempt(() => desk.do("DELETE", address)).then(() => !element.isConnected && next?.focus());
  }

  /** @param {any} document */
  function show(document) {
    for (const [key, field] of /** @type {[string, HTMLTextAreaElement | HTMLInputElement][]} */ ([["action", action], ["sound", sound], ["says", says], ["speaker", speaker]]))
      if (globalThis.document.activeElement !== field) {
        field.value = document[key] ?? "";
        if (field instanceof HTMLTextAreaElement) grow(field);
      }
    if (globalThis.document.activeElement !== name) name.value = panel;
    if (globalThis.document.activeElement !== long || framesOf(long.value, rate) !== null) long.value = secondsOf(frames, rate);
  }

  new ResizeObserver(() => [action, sound, says].forEach(grow)).observe(element);

  return {
    element,
    scene,
    place: () => place,
    tell(document, told, now, at, all) {
      [said, frames, rate, place, many] = [document, told.frames, now, at, all];
      element.setAttribute("aria-label", `card ${panel}, ${secondsOf(frames, rate)} seconds`);
      count.textContent = `${frames} frames`;
      joins.disabled = at + 1 === all;
      out.disabled = all === 1;
      parts.disabled = frames < 2;
      const source = document.drawing ? `/api/files/${encodeURI(document.drawing)}?seen=${told.seen}` : "";
      if (source && picture.getAttribute("src") !== source) picture.src = source;
      if (!source) picture.removeAttribute("src");
      element.classList.toggle("drawn", source !== "");
      recording.mark.textContent = told.voices.length ? "voice" : "";
      recording.mark.title = told.voices.join(", ");
      names.replaceChildren(...Object.keys(desk.film?.documents.scenes[scene]?.cast ?? {}).map((who) => h("option", { value: who })));
      show(document);
    },
    focus: () => element.focus(),
    write: () => action.focus(),
    draw: () => bench.go("board", `${scene}/${panel}`),
    voice: () => recording.toggle(frames / rate),
    shift: (by) => {
      if (place + by >= 0 && place + by < many) hands.move(scene, panel, place + by);
    },
    split,
    join,
    remove,
    longer: (by) => last(frames + by),
    leave: () => recording.leave(),
  };
}

/** @param {HTMLTextAreaElement} field As high as its words. */
function grow(field) {
  if (CSS.supports("field-sizing", "content")) return; // the browser does it by itself
  field.style.height = "0";
  field.style.height = `${field.scrollHeight}px`;
}
