/** The pile of pieces, the topmost first: chosen by a click, laid higher and lower by dragging or with keys. */

import { h } from "../../core/dom.js";
import { moved } from "../../core/figure.js";

/** @param {import("./opened.js").Opened} one */
export function pile(one) {
  const list = h("ol", { class: "envelopes-pile", role: "listbox", "aria-label": "pieces, the topmost first" });
  const element = h("section", { class: "paper old envelopes-heap" }, h("h3", {}, "The pile"), h("p", { class: "quiet" }, "The topmost first; drag to lay higher or lower."), list);

  /** @param {number} by Places up. */
  function lift(by) {
    const order = one.told()?.order;
    if (order) lay(order.indexOf(one.chosen()), order.indexOf(one.chosen()) + by);
  }

  /**
   * @param {number} from Places in the order, lowest first.
   * @param {number} to
   */
  function lay(from, to) {
    const order = /** @type {string[]} */ (one.told().order);
    const next = moved(order, from, to);
    if (next.join() !== order.join()) void one.write(`lay ${order[from]} ${to > from ? "higher" : "lower"}`, ["order"], next);
  }

  /**
   * @param {PointerEvent} event
   * @param {HTMLElement} row
   */
  function grab(event, row) {
    if (event.button !== 0) return;
    const rows = [...list.children];
    const from = rows.indexOf(row);
    const begun = event.clientY;
    const high = row.offsetHeight;
    let to = from;
    row.setPointerCapture(event.pointerId);
    const move = (/** @type {PointerEvent} */ now) => {
      const by = now.clientY - begun;
      if (Math.abs(by) < 4 && to === from) return;
      row.classList.add("dragged");
      row.style.transform = `translateY(${by}px)`;
      to = Math.max(0, Math.min(rows.length - 1, from + Math.round(by / high)));
      rows.forEach((other, n) => {
        if (other instanceof HTMLElement && other !== row) {
          const away = n > from && n <= to ? -high : n < from && n >= to ? high : 0;
          other.style.transform = away ? `translateY(${away}px)` : "";
        }
      });
    };
    const end = () => {
      row.removeEventListener("pointermove", move);
      row.classList.remove("dragged");
      for (const other of rows) if (other instanceof HTMLElement) other.style.transform = "";
      if (to !== from) lay(rows.length - 1 - from, rows.length - 1 - to);
    };
    row.addEventListener("pointermove", move);
    row.addEventListener("lostpointercapture", end, { once: true });
  }

  function show() {
    const told = one.told();
    const counts = new Map();
    for (const line of told.list) {
      const before = counts.get(line.piece) ?? { kinds: 0, all: 0, spares: 0, cutout: line.cutout };
      counts.set(line.piece, { ...before, kinds: before.kinds + 1, all: before.all + line.wanted + line.spares, spares: before.spares + line.spares });
    }
    const held = list.contains(document.activeElement);
    list.replaceChildren(
      ...[...told.order].reverse().map((/** @type {string} */ piece) => {
        const count = counts.get(piece);
        const on = one.document().pieces[piece]?.on?.split(".")[0];
        const mine = piece === one.chosen();
        const words = `${count.all} cut-out${count.all === 1 ? "" : "s"}${count.spares ? `, ${count.spares} of them spare` : ""}`;
        const row = h(
          "li",
          { role: "option", "aria-selected": String(mine), tabindex: mine ? 0 : -1, onclick: () => one.choose(piece) },
          h("img", { src: `/api/files/cutouts/${encodeURIComponent(count.cutout)}.png?version=${told.versions[count.cutout] ?? 0}`, alt: "", draggable: "false" }),
          h("span", {}, h("b", {}, piece), h("small", {}, on ? `hangs on ${on}` : "carries all others")),
          h("span", { class: "typed", title: words, "aria-label": words }, count.all),
        );
        row.addEventListener("pointerdown", (event) => grab(event, row));
        if (mine && held) queueMicrotask(() => row.focus());
        return row;
      }),
    );
  }

  return { element, show, lift };
}
