/** What a person should know, each note pinned where it happens. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

const MOST = 40;
/** More notes than this at once help nobody. */

/**
 * @typedef {import("../../core/link.js").Mistake & {scene: string | null, frame: number | null, ahead?: boolean}} Note
 * @typedef {{kind: string, scene: string, film_frame: number, found: string, expected: string, remedy: string}} Ahead
 */

/**
 * @param {import("../../main.js").Bench} bench
 * @param {{pin: (notes: Note[]) => void}} ribbon
 * @param {(frame: number) => void} seek
 */
export function notes(bench, ribbon, seek) {
  const element = h("section", { class: "reel-notes", "aria-label": "to look at" });
  /** @type {Note[]} */
  let all = [];

  async function read() {
    const revision = bench.desk.film?.revision;
    const told = await ask("GET", "warnings");
    if (bench.desk.film?.revision !== revision) return;
    const now = [...told.mistakes, ...told.warnings];
    show(now, told.mistakes.length, null);
    if (told.mistakes.length) return;
    const foreseen = await ask("GET", "forecast");
    if (bench.desk.film?.revision === revision) show(now, 0, foreseen.ahead.map(ahead));
  }

  /**
   * @param {Note[]} now Mistakes first.
   * @param {number} wrong How many of them are mistakes.
   * @param {Note[] | null} later What lies ahead on the table; null while nobody has looked.
   */
  function show(now, wrong, later) {
    all = [...now, ...(later ?? [])];
    ribbon.pin(all);
    element.replaceChildren(
      h("h2", {}, now.length ? "To look at" : "Nothing to mend"),
      ...now.slice(0, MOST).map((one, n) => note(one, n < wrong)),
      more(now),
      later === null ? "" : h("h2", {}, "Ahead of you"),
      later?.length === 0 ? h("p", { class: "quiet" }, "No hole, no gap, no strobing step, nobody out of the field.") : "",
      ...(later ?? []).slice(0, MOST).map((one) => note(one, false)),
      more(later ?? []),
    );
  }

  /** @param {Note[]} told */
  function more(told) {
    return told.length > MOST ? h("p", { class: "quiet" }, `… and ${told.length - MOST} more`) : "";
  }

  /**
   * @param {Ahead} one
   * @returns {Note}
   */
  function ahead(one) {
    return { ...one, file: `scenes/${one.scene}.toml`, line: null, frame: one.film_frame, ahead: true };
  }

  /**
   * @param {Note} one
   * @param {boolean} wrong
   */
  function note(one, wrong) {
    const { frame } = one;
    const scene = one.scene && one.file.startsWith("scenes/") ? h("a", { href: write("sheet", one.scene) }, one.scene) : h("b", {}, one.line ? `${one.file}, line ${one.line}` : one.file);
    return h(
      "div",
      { class: wrong ? "paper note wrong" : one.ahead ? "paper note ahead" : "paper note" },
      frame !== null && h("button", { class: "plain", title: `go to frame ${frame}`, onclick: () => seek(frame) }, `frame ${frame}`),
      h("p", {}, scene, `: ${one.found}`),
      h("p", { class: "quiet" }, `Expected ${one.expected}. ${one.remedy}.`),
    );
  }

  return {
    element,
    read: () => bench.attempt(read),
    /** @param {number} from Go to the first one after this frame, or to the very first. */
    next(from) {
      const frames = all.map((one) => one.frame).filter((frame) => frame !== null).sort((a, b) => a - b);
      const to = frames.find((frame) => frame > from) ?? frames[0];
      if (to !== undefined) seek(to);
    },
  };
}
