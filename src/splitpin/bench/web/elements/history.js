/** The card of steps: everything that was done, to go back to any of it. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";

/** @param {import("../main.js").Bench} bench */
export async function showHistory(bench) {
  if (document.querySelector(".history")) return;
  const list = h("ol", {});
  const told = h("p", { class: "quiet" });
  const card = /** @type {HTMLDialogElement} */ (
    h("dialog", { class: "history", "aria-label": "what was done" }, h("h2", {}, "What was done"), told, list, h("form", { method: "dialog" }, h("button", {}, "Away with it")))
  );
  const read = () => bench.attempt(show);

  async function show() {
    const { begun, done, undone } = await ask("GET", "history");
    const all = [...undone].reverse().map((step) => row(step, false)).concat([...done].reverse().map((step, n) => row(step, true, n === 0)));
    const start = row({ number: begun, label: begun ? `${begun} steps before these` : "as it was opened first", files: [], more: 0 }, true, done.length === 0);
    list.replaceChildren(...all, start);
    told.textContent = done.length + undone.length === 0 ? "Nothing yet. Every step will be listed here, and kept when the film is put away." : "The latest is on top; click a step to go to it. What lies above the pin was taken back and can be done again.";
    /** @type {HTMLElement | null} */ (list.querySelector("[aria-current] button"))?.focus();
  }

  /**
   * @param {{number: number, label: string, files: string[], more: number}} step
   * @param {boolean} done
   * @param {boolean} [here]
   */
  function row(step, done, here = false) {
    const files = step.more ? `${step.files.join(", ")} and ${step.more} more` : step.files.join(", ");
    return h(
      "li",
      { class: done ? "" : "undone", "aria-current": here ? "step" : false },
      h("button", { class: "plain", onclick: () => void bench.attempt(() => bench.desk.do("POST", "history", { done: step.number })) }, h("span", {}, step.label), h("small", { class: "typed" }, files)),
    );
  }

  bench.desk.addEventListener("film", read);
  card.addEventListener("close", () => {
    bench.desk.removeEventListener("film", read);
    card.remove();
  });
  document.body.append(card);
  await read();
  card.showModal();
  /** @type {HTMLElement | null} */ (list.querySelector("[aria-current] button"))?.focus();
}
