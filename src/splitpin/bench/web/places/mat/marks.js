/** The marks of the tools, drawn with a pencil. */

const NS = "http://www.w3.org/2000/svg";

/** @type {Record<string, string>} */
const WAYS = {
  loop: "M5 15c-3-5 1-11 8-11s10 5 7 10-9 6-13 4-2-6 3-7",
  knife: "M2.5 18.5l8-8 3.5 3.5-8 8zM10.5 10.5L21 2.5l-1.5 7L14 14M5 16l3.5 3.5",
  keep: "M4 20l1-5L16 4l4 4L9 19zM13 7l4 4M4 20l3-1",
  drop: "M4 20l1-5L16 4l4 4L9 19zM13 7l4 4M3 3l6 6M9 3L3 9",
  rub: "M4 15l8-9c1-1 2-1 3 0l4 4c1 1 1 2 0 3l-6 7H8zM9 9l7 7M8 20h12",
};

/** @param {string} name */
export function mark(name) {
  const svg = document.createElementNS(NS, "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  svg.setAttribute("class", `mat-mark ${name}`);
  const way = document.createElementNS(NS, "path");
  way.setAttribute("d", WAYS[name] ?? "");
  svg.append(way);
  return svg;
}
