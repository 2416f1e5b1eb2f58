/** The exposures of a scene as a tall paper column: where one stands, what changes where. */

import { h } from "../../core/dom.js";
import { clock, rateOf } from "../../core/time.js";

/** @typedef {import("./stand.js").Stand} Stand */

const LINE = 22;

/** @param {Stand} stand */
export function column(stand) {
  const lines = h("div", { class: "table-lines" });
  const element = h(
    "div",
    { class: "table-column paper old", role: "slider", tabindex: "0", "aria-label": "exposure", "aria-orientation": "vertical", "aria-valuemin": 1 },
    lines,
  );
  let first = 0;

  function draw() {
    const count = Math.max(1, Math.floor(element.clientHeight / LINE));
    const { rows, index } = stand;
    first = Math.max(0, Math.min(index - Math.floor(count / 2), rows.length - count));
    const rate = rateOf(stand.bench.desk.film?.film.rate ?? "24");
    element.setAttribute("aria-valuemax", String(rows.length));
    element.setAttribute("aria-valuenow", String(index + 1));
    element.setAttribute("aria-valuetext", stand.row ? `${index + 1} of ${rows.length}, ${stand.row.panel}` : "");
    lines.replaceChildren(
      ...rows.slice(first, first + count).map((row, n) => {
        const before = rows[first + n - 1];
        const who = stand.chosen?.who;
        const moved = who !== undefined && row.moved.includes(who);
        const opens = !before || before.panel !== row.panel;
        return h(
          "div",
          { class: `${first + n === index ? "here" : ""} ${opens ? "opens" : ""} ${row.kind}` },
          h("span", { class: "typed" }, opens ? row.panel : clock(row.frame, rate).slice(2)),
          moved && h("i", { title: `${who} is moved` }),
        );
      }),
    );
  }

  const toRow = (/** @type {PointerEvent} */ event) => {
    const box = lines.getBoundingClientRect();
    return first + Math.floor((event.clientY - box.top) / LINE);
  };
  element.addEventListener("pointerdown", (event) => {
    element.setPointerCapture(event.pointerId);
    stand.go(toRow(event));
  });
  element.addEventListener("wheel", (event) => {
    event.preventDefault();
    stand.go(stand.index + Math.sign(event.deltaY));
  }, { passive: false });
  for (const what of ["here", "chosen", "step"]) stand.addEventListener(what, draw);
  new ResizeObserver(draw).observe(element);
  return element;
}
