/** The card of the piece in hand: what it hangs on, its pin, how far it turns, what may lie in its place. */

import { h } from "../../core/dom.js";

/**
 * @param {import("./opened.js").Opened} one
 * @param {{pinning: (on: boolean) => void, isPinning: () => boolean}} sheet
 * @param {{element: HTMLElement}} bend
 */
export function card(one, sheet, bend) {
  const head = h("h3", {});
  const body = h("div", {});
  const adding = h("div", { class: "envelopes-add" });
  const element = h("section", { class: "paper envelopes-card", "aria-label": "the piece in hand" }, head, body, bend.element, adding);

  /**
   * @param {string} label
   * @param {string} name
   * @param {string} said
   * @param {string} [none]
   */
  const choice = (label, name, said, none) =>
    /** @type {HTMLSelectElement} */ (
      h("select", { "aria-label": label, name }, none !== undefined && h("option", { value: "", selected: !said }, none))
    );

  /** @param {string} piece @param {any} spec */
  function hangs(piece, spec) {
    if (!spec.on) return h("p", { class: "quiet" }, "It carries all others; its pin is the place of the whole figure.");
    const own = new Set(one.told().below[piece]);
    const on = spec.on.split(".")[0];
    const select = choice("hangs on", "on", on);
    for (const other of Object.keys(one.document().pieces)) if (!own.has(other)) select.append(h("option", { value: other, selected: other === on }, other));
    select.addEventListener("change", () => void one.change({ do: "hang", piece, on: select.value }));
    return h("label", {}, h("span", {}, "hangs on"), select);
  }

  /** @param {string} piece @param {any} spec */
  function turning(piece, spec) {
    const [low, high] = spec.limits ?? [null, null];
    const number = (/** @type {string} */ name, /** @type {number | null} */ value) =>
      /** @type {HTMLInputElement} */ (h("input", { type: "number", step: "any", min: -360, max: 360, "aria-label": name, placeholder: "free", value }));
    const least = number("least angle, degrees", low);
    const most = number("greatest angle, degrees", high);
    const rest = number("angle at rest, degrees", Math.round(spec.angle * 100) / 100);
    const limit = () => {
      if ((least.value === "") !== (most.value === "")) return;
      void one.write(`limits of ${piece}`, ["pieces", piece, "limits"], least.value === "" ? null : [Number(least.value), Number(most.value)]);
    };
    least.addEventListener("change", limit);
    most.addEventListener("change", limit);
    rest.addEventListener("change", () => void one.write(`turn ${piece} at rest`, ["pieces", piece, "angle"], Number(rest.value) || null));
    return h("div", { class: "envelopes-numbers" }, h("label", {}, h("span", {}, "turns from °"), least), h("label", {}, h("span", {}, "to °"), most), h("label", {}, h("span", {}, "rests at °"), rest));
  }

  /** @param {string} piece @param {any} spec */
  function set(piece, spec) {
    const shows = spec.shows ?? Object.keys(spec.set)[0];
    const kinds = Object.keys(spec.set);
    return h(
      "div",
      { class: "envelopes-set", role: "group", "aria-label": "what may lie in its place" },
      kinds.map((name) =>
        h(
          "div",
          { class: "envelopes-kind" },
          h(
            "button",
            { "aria-pressed": String(name === shows), title: `${name} shows at rest`, onclick: () => void one.write(`${piece} rests ${name}`, ["pieces", piece, "shows"], name) },
            h("img", { src: `/api/files/cutouts/${encodeURIComponent(spec.set[name].cutout)}.png?version=${one.told().versions[spec.set[name].cutout] ?? 0}`, alt: "" }),
            h("small", {}, name),
          ),
          kinds.length > 1 && name !== shows && h("button", { class: "plain", "aria-label": `take ${name} out of the set`, title: `take ${name} out of the set`, onclick: () => void one.write(`take ${name} out of ${piece}`, ["pieces", piece, "set", name], null) }, "×"),
        ),
      ),
    );
  }

  /**
   * A line to choose a cut-out and call it something.
   *
   * @param {string} label
   * @param {string} name
   * @param {(cutout: string, called: string) => void} does
   */
  function more(label, name, does) {
    const select = choice(label, name, "", label);
    for (const cutout of Object.keys(one.bench.desk.film?.documents.cutouts ?? {}).sort()) select.append(h("option", { value: cutout }, cutout));
    const called = /** @type {HTMLInputElement} */ (h("input", { "aria-label": "called", placeholder: "called …", maxlength: 80, spellcheck: "false" }));
    const go = h("button", { type: "submit", disabled: true }, "Add");
    select.addEventListener("change", () => {
      const common = `${one.name}-`;
      called.value = select.value.startsWith(common) ? select.value.slice(common.length) : select.value;
      go.toggleAttribute("disabled", !select.value);
    });
    return h(
      "form",
      {
        class: "envelopes-more",
        onsubmit: (/** @type {Event} */ event) => {
          event.preventDefault();
          if (select.value) does(select.value, called.value.trim());
        },
      },
      select,
      called,
      go,
    );
  }

  function show() {
    const piece = one.chosen();
    const spec = one.document().pieces[piece];
    if (!spec) return;
    const line = one.told().list.find((/** @type {any} */ l) => l.piece === piece);
    head.textContent = piece;
    const held = document.activeElement instanceof HTMLElement && element.contains(document.activeElement) ? document.activeElement.getAttribute("aria-label") : null;
    body.replaceChildren(
      h("p", { class: "typed quiet" }, `${line.width_mm.toFixed(0)} × ${line.height_mm.toFixed(0)} mm${line.spares ? `, ${line.spares} spare` : ""}`),
      hangs(piece, spec),
      turning(piece, spec),
      h(
        "p",
        { class: "envelopes-hands" },
        h("button", { title: "then click where it turns (P)", onclick: () => sheet.pinning(!sheet.isPinning()) }, "Set its pin"),
        spec.on && h("button", { class: "plain", title: "what hangs on it hangs on its holder then (Delete)", onclick: () => void one.change({ do: "take", piece }) }, "Take it away"),
      ),
      ...(Object.keys(spec.set).length ? [set(piece, spec)] : []),
      more("another to lay in its place …", "set", (cutout, name) => void one.change({ do: "replacement", piece, name, cutout })),
    );
    adding.replaceChildren(
      more("add a piece …", "add", (cutout, name) =>
        void one.change({ do: "add", piece: name, cutout }).then(() => {
          if (one.document().pieces[name]) one.choose(name);
        }),
      ),
    );
    if (held) /** @type {HTMLElement | null} */ (element.querySelector(`[aria-label="${CSS.escape(held)}"]`))?.focus();
  }

  return {
    element,
    show,
    /** @param {string} name */
    focus(name) {
      /** @type {HTMLElement | null} */ (element.querySelector(`select[name="${name}"]`))?.focus();
    },
  };
}
