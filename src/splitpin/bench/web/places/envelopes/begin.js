/** A slip to begin a character: click its cut-outs, the one that carries the others first. */

import { h } from "../../core/dom.js";

/** @param {import("../../main.js").Bench} bench */
export function beginner(bench) {
  /** @type {string[]} */
  let chosen = [];
  const name = /** @type {HTMLInputElement} */ (h("input", { "aria-label": "its name", placeholder: "gossip", spellcheck: "false", maxlength: 80 }));
  const list = h("div", { class: "envelopes-choice", role: "group", "aria-label": "cut-outs" });
  const told = h("p", { class: "quiet" });
  const begin = h("button", { class: "first" }, "Begin");
  const element = h(
    "form",
    { class: "paper old envelopes-begin", onsubmit: send },
    h("h3", {}, "A new character"),
    h("label", {}, h("span", {}, "its name"), name),
    told,
    list,
    begin,
  );

  /** @param {Event} event */
  function send(event) {
    event.preventDefault();
    void bench.attempt(async () => {
      const pieces = Object.fromEntries(chosen.map((one) => [one, one]));
      const made = await bench.desk.do("POST", "characters", { name: name.value.trim(), pieces });
      bench.go("envelopes", made.name);
    });
  }

  /** @param {string} one */
  function choose(one) {
    chosen = chosen.includes(one) ? chosen.filter((other) => other !== one) : [...chosen, one];
    show();
  }

  function show() {
    const documents = bench.desk.film?.documents;
    const cutouts = Object.keys(documents?.cutouts ?? {});
    const used = new Set(Object.values(documents?.characters ?? {}).flatMap((one) => Object.values(one.pieces).flatMap((/** @type {any} */ p) => [p.cutout, ...Object.values(p.set).map((/** @type {any} */ r) => r.cutout)])));
    chosen = chosen.filter((one) => cutouts.includes(one));
    told.textContent = cutouts.length < 2 ? "It takes two cut-outs at least: the Cutting mat makes them." : chosen.length ? `${chosen[0]} carries ${chosen.slice(1).join(", ") || "the next"}.` : "Click its cut-outs, the one that carries the others first.";
    begin.toggleAttribute("disabled", chosen.length < 2);
    const sorted = [...cutouts].sort((a, b) => Number(used.has(a)) - Number(used.has(b)) || a.localeCompare(b));
    const before = document.activeElement instanceof HTMLElement && list.contains(document.activeElement) ? document.activeElement.dataset.name : undefined;
    list.replaceChildren(
      ...sorted.map((one) => {
        const at = chosen.indexOf(one);
        return h(
          "button",
          { type: "button", "data-name": one, "aria-pressed": String(at >= 0), title: one, onclick: () => choose(one) },
          h("img", { src: `/api/files/cutouts/${encodeURIComponent(one)}.png`, alt: "", loading: "lazy" }),
          h("small", {}, one),
          at >= 0 && h("b", {}, at + 1),
        );
      }),
    );
    if (before) /** @type {HTMLElement | null} */ (list.querySelector(`[data-name="${CSS.escape(before)}"]`))?.focus();
  }

  return { element, read: show, focus: () => name.focus() };
}
