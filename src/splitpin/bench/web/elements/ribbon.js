/** The ribbon under the film: each exposure by what it is, scenes parted, warnings pinned where they happen. */

import { h } from "../core/dom.js";

const TONES = /** @type {Record<string, string>} */ ({ shot: "#3d6a41", drawn: "#285380", board: "#8b8474", card: "#b9ae95" });
const NAMES = { shot: "shot", drawn: "drawn", board: "board drawing", card: "card" };

/**
 * @param {import("../main.js").Bench} bench
 * @param {(frame: number) => void} seek
 */
export function ribbon(bench, seek) {
  const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { height: 44 }));
  const hand = h("div", { class: "ribbon-hand" });
  const pins = h("div", { class: "ribbon-pins" });
  const turn = h("div", { class: "ribbon-turn", hidden: true });
  const strip = h("div", { class: "ribbon-strip", role: "slider", tabindex: "0", "aria-label": "frame", "aria-valuemin": 0 }, canvas, turn, hand);
  const element = h(
    "div",
    { class: "ribbon paper" },
    pins,
    strip,
    h("p", { class: "quiet" }, Object.entries(NAMES).map(([kind, name]) => {
      const patch = h("i", {});
      patch.style.background = TONES[kind] ?? "";
      return [patch, ` ${name}  `];
    })),
  );
  const film = () => /** @type {import("../core/desk.js").Film} */ (bench.desk.film);

  const toFrame = (/** @type {PointerEvent} */ event) => {
    const box = strip.getBoundingClientRect();
    return Math.floor(((event.clientX - box.left) / box.width) * film().frames);
  };
  strip.addEventListener("pointerdown", (event) => {
    strip.setPointerCapture(event.pointerId);
    seek(toFrame(event));
  });
  strip.addEventListener("pointermove", (event) => {
    if (strip.hasPointerCapture(event.pointerId)) seek(toFrame(event));
  });

  function draw() {
    const { exposures, frames } = film();
    const width = Math.max(300, Math.round(strip.clientWidth * devicePixelRatio)) || 1200;
    canvas.width = width;
    const pen = canvas.getContext("2d");
    if (!pen || !frames) return;
    pen.clearRect(0, 0, width, 44);
    let scene = "";
    for (const one of exposures) {
      const x = (one.frame / frames) * width;
      const w = (one.frames / frames) * width;
      pen.fillStyle = TONES[one.kind] ?? "#999";
      pen.fillRect(x, 8, Math.max(w - (w > 3 ? 1 : 0), 0.5), 22);
      if (one.scene !== scene) {
        scene = one.scene;
        pen.fillStyle = "#24272c";
        pen.fillRect(x, 0, 1.5, 44);
        pen.font = `${11 * devicePixelRatio}px "Courier Prime", monospace`;
        pen.fillText(scene, x + 5, 42);
      }
    }
    strip.setAttribute("aria-valuemax", String(frames - 1));
  }

  new ResizeObserver(draw).observe(strip);
  return {
    element,
    draw,
    /** @param {number} frame */
    at(frame) {
      hand.style.left = `${((frame + 0.5) / Math.max(1, film().frames)) * 100}%`;
      strip.setAttribute("aria-valuenow", String(frame));
    },
    /** @param {[number, number] | null} span Frames that go round. */
    mark(span) {
      const all = Math.max(1, film().frames);
      turn.hidden = !span;
      if (!span) return;
      turn.style.left = `${(span[0] / all) * 100}%`;
      turn.style.width = `${((span[1] - span[0]) / all) * 100}%`;
    },
    /** @param {{found: string, frame: number | null, ahead?: boolean}[]} notes Each is pinned on its frame; what lies ahead in brass. */
    pin(notes) {
      /** @type {Map<number, {words: string[], ahead: boolean}>} */
      const at = new Map();
      for (const { frame, found, ahead } of notes) {
        if (frame === null) continue;
        const there = at.get(frame);
        at.set(frame, { words: [...(there?.words ?? []), found], ahead: Boolean(ahead) && (there?.ahead ?? true) });
      }
      pins.replaceChildren(
        ...[...at].map(([frame, { words, ahead }]) => {
          const text = `frame ${frame}: ${words.join("; ")}`;
          const pin = h("button", { class: ahead ? "ribbon-pin ahead" : "ribbon-pin", title: text, "aria-label": text, onclick: () => seek(frame) });
          pin.style.left = `${((frame + 0.5) / Math.max(1, film().frames)) * 100}%`;
          pin.addEventListener("pointerdown", (event) => event.stopPropagation());
          return pin;
        }),
      );
    },
  };
}
