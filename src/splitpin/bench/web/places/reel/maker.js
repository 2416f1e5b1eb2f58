/** Making the film: for which outlets, how far it has come, and what was made, to take away. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

const WORDS = /** @type {Record<string, string>} */ ({
  film: "a film to show",
  master: "a master to hand over",
  sound: "the sound alone",
  pictures: "every frame as a picture",
  loop: "a small picture that moves",
  contact: "a sheet of stills",
  timeline: "for an editing room",
});

/**
 * @param {import("../../main.js").Bench} bench
 * @param {() => string} scene The scene that is seen.
 */
export function maker(bench, scene) {
  const element = h("section", { class: "paper reel-made", "aria-label": "make the film" });
  /** @type {Set<string> | null} The ticked outlets; null until somebody ticks one. */
  let ticked = null;
  let alone = false;
  /** @type {any} */
  let outlets = null;
  /** @type {any} */
  let work = null;

  const wanted = () => ticked ?? new Set(Object.keys(outlets?.film ?? {}));

  async function make() {
    if (!outlets || going() || wanted().size === 0) return;
    const body = { outlets: [...wanted()], ...(alone ? { scenes: [scene()] } : {}) };
    await bench.attempt(async () => worked(await ask("POST", "make", body)));
  }

  const going = () => work?.state === "waiting" || work?.state === "going on";

  async function read() {
    // A film with mistakes cannot be made; the notes beside this tell of them.
    outlets = bench.desk.film?.mistakes.length ? null : await ask("GET", "outlets").catch(() => null);
    if (!work) {
      const told = await ask("GET", "work").catch(() => ({ work: [] }));
      work = told.work.filter((/** @type {any} */ one) => one.name === "make the film").at(-1) ?? null;
    }
    show();
  }

  /** @param {any} told */
  function worked(told) {
    if (told.name !== "make the film") return;
    const same = work?.number === told.number && work?.state === told.state;
    work = told;
    if (!same) show();
    else progress();
  }

  function show() {
    const own = Object.keys(outlets?.film ?? {});
    const all = outlets ? { ...outlets.standard, ...outlets.film } : {};
    const names = [...own, ...Object.keys(all).filter((name) => !own.includes(name))];
    const held = document.activeElement instanceof HTMLElement && element.contains(document.activeElement) ? document.activeElement.dataset.name : undefined;
    element.replaceChildren(
      h("h2", {}, "Make it"),
      h("div", { class: "reel-outlets", role: "group", "aria-label": "what is made" }, names.map((name) => ticket(name, all[name].kind))),
      h("label", { class: "reel-alone" }, h("input", { type: "checkbox", "data-name": "alone", checked: alone, onchange: () => (alone = !alone) }), " only the scene that is seen"),
      going()
        ? h("div", { class: "reel-going" }, h("progress", { "aria-label": "how far it has come" }), h("p", { class: "quiet", role: "status" }), h("button", { "data-name": "stop", onclick: () => void bench.attempt(() => ask("DELETE", `work/${work.number}`)) }, "Stop"))
        : h("button", { class: "first", "data-name": "make", disabled: !outlets || wanted().size === 0, title: "(M)", onclick: () => void make() }, "Make it"),
      ...made(),
    );
    progress();
    if (held) /** @type {HTMLElement | null} */ (element.querySelector(`[data-name="${CSS.escape(held)}"]`))?.focus();
  }

  /**
   * @param {string} name
   * @param {string} kind
   */
  function ticket(name, kind) {
    const tick = () => {
      ticked = new Set(wanted());
      if (!ticked.delete(name)) ticked.add(name);
      show();
    };
    return h("label", {}, h("input", { type: "checkbox", "data-name": name, checked: wanted().has(name), onchange: tick }), h("b", {}, name), h("small", {}, WORDS[kind] ?? kind));
  }

  function progress() {
    const bar = element.querySelector("progress");
    if (!bar || !going()) return;
    if (work.total) {
      bar.max = work.total;
      bar.value = work.done;
    }
    const line = element.querySelector(".reel-going p");
    if (line) line.textContent = work.state === "waiting" ? "It waits for other work." : work.total ? `${work.doing || "drawing"}: ${work.done} of ${work.total}` : work.doing;
  }

  function made() {
    if (work?.state !== "done" || !work.result?.outlets) return [];
    return work.result.outlets.map((/** @type {any} */ one) =>
      h(
        "div",
        { class: "made" },
        h("h3", {}, one.name),
        one.loudness !== null && h("p", { class: "typed" }, `${one.loudness} LUFS, ${one.true_peak} dBTP${one.range === null ? "" : `, range ${one.range} LU`}`),
        ...[one.told].flat().filter(Boolean).map((/** @type {string} */ words) => h("p", { class: "quiet" }, words)),
        ...one.files.map((/** @type {string} */ file) => h("p", {}, h("a", { href: `/api/files/${file.split("/").map(encodeURIComponent).join("/")}?download=true`, download: true }, file))),
      ),
    );
  }

  return { element, read, worked, make };
}
