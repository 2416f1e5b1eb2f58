/** Slips of paper at the corner of the desk: what was done, what went wrong, what goes on. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";

const LONG = 6000;

function corner() {
  return /** @type {HTMLElement} */ (document.getElementById("slips"));
}

/**
 * Tell something.
 *
 * @param {string} text
 * @param {boolean} [bad]
 */
export function slip(text, bad = false) {
  const one = h("div", { class: bad ? "slip wrong" : "slip" }, close(() => one.remove()), h("p", {}, text));
  corner().append(one);
  if (!bad) setTimeout(() => one.remove(), LONG);
}

/**
 * Tell what is wrong, and what to do.
 *
 * @param {import("../core/link.js").Mistake[]} mistakes
 */
export function wrong(mistakes) {
  const shown = mistakes.slice(0, 3);
  const one = h(
    "div",
    { class: "slip wrong", role: "alert" },
    close(() => one.remove()),
    shown.map((m) => [
      h("p", {}, h("b", {}, m.line ? `${m.file}, line ${m.line}` : m.file), `: ${m.found}`),
      h("p", { class: "do" }, `Expected ${m.expected}. ${m.remedy}.`),
    ]),
    mistakes.length > 3 && h("p", {}, `… and ${mistakes.length - 3} more`),
    mistakes.length === 0 && h("p", {}, "It failed, and nobody knows why."),
  );
  corner().append(one);
}

/**
 * Tell how far work has come.
 *
 * @param {any} work
 * @param {import("../main.js").Bench} bench
 */
export function workSlip(work, bench) {
  const id = `work-${work.number}`;
  const before = document.getElementById(id);
  if (work.state === "failed") {
    before?.remove();
    wrong(work.mistakes);
    return;
  }
  if (work.state === "done" || work.state === "stopped") {
    before?.remove();
    if (work.state === "stopped") bench.say(`${work.name}: stopped`);
    return;
  }
  const one = h(
    "div",
    { class: "slip", id },
    close(() => void ask("DELETE", `work/${work.number}`), "stop"),
    h("p", {}, work.name, h("span", { class: "do" }, work.doing ? `: ${work.doing}` : "")),
    h("progress", work.total ? { value: work.done, max: work.total } : {}),
  );
  if (before) before.replaceWith(one);
  else corner().append(one);
}

/**
 * @param {() => void} does
 * @param {string} [word]
 */
function close(does, word = "×") {
  return h("button", { class: "plain", "aria-label": word === "×" ? "away with it" : word, onclick: does }, word);
}
