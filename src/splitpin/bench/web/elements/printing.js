/** The drawer of the printer: what of the paper kit is printed, what it costs in paper, and each page before it is. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";

const SAYS = /** @type {Record<string, string>} */ ({
  pieces: "to cut out, with backs",
  backgrounds: "a guide of each",
  tiles: "backgrounds at true size: much paper",
  envelopes: "to fold, with their lists",
  strips: "along which pieces travel",
  fans: "by which pieces turn",
  marks: "to lay round the field",
  sheets: "exposure sheets",
  board: "the storyboard",
  days: "what to shoot, and when",
  label: "for the box",
});
const NAME = "lay out the paper kit";

/** @param {import("../main.js").Bench} bench */
export async function showPrinting(bench) {
  if (document.querySelector(".printing")) return;
  const { desk } = bench;
  const told = await ask("GET", "kit");
  /** @type {any} */
  let work = null;
  const parts = h(
    "fieldset",
    { class: "printing-parts" },
    h("legend", {}, "What is printed"),
    told.parts.map((/** @type {{name: string, asked: boolean}} */ one) =>
      h("label", {}, h("input", { type: "checkbox", name: one.name, checked: !one.asked }), h("b", {}, one.name), h("small", {}, SAYS[one.name] ?? "")),
    ),
  );
  const paper = /** @type {HTMLSelectElement} */ (h("select", {}, told.papers.map((/** @type {string} */ one) => h("option", { value: one }, one))));
  const scene = /** @type {HTMLSelectElement} */ (
    h("select", {}, h("option", { value: "" }, "all"), (desk.film?.film.scenes ?? []).map((/** @type {string} */ one) => h("option", { value: one }, one)))
  );
  const measured = /** @type {HTMLInputElement} */ (h("input", { type: "number", value: "100", min: "80", max: "125", step: "0.1" }));
  const plotter = /** @type {HTMLInputElement} */ (h("input", { type: "checkbox" }));
  const lay = /** @type {HTMLButtonElement} */ (h("button", { class: "first" }, "Lay it out"));
  const doing = h("p", { class: "quiet", role: "status" });
  const cost = h("div", { class: "printing-cost" });
  const pages = h("div", { class: "printing-pages", role: "list", "aria-label": "the pages" });
  const card = /** @type {HTMLDialogElement} */ (
    h(
      "dialog",
      { class: "printing", "aria-label": "print the paper kit" },
      h("h2", { tabindex: -1, autofocus: true }, "Print"),
      h(
        "div",
        { class: "printing-both" },
        h(
          "form",
          { class: "printing-ask", onsubmit: begin },
          parts,
          h("label", {}, h("span", {}, "paper"), paper),
          h("label", {}, h("span", {}, "scenes"), scene),
          h("label", {}, h("span", {}, "a printed rule of 100 mm measured, mm"), measured),
          h("label", { class: "printing-tick" }, plotter, " what a plotter cuts, too"),
          lay,
          doing,
        ),
        h("div", {}, cost, pages),
      ),
      h("p", { class: "quiet" }, "Print at 100 %, and measure the rule on the first page before anything is cut. A sharp blade, a mat, a safety rule, the hand behind the cut."),
      h("form", { method: "dialog" }, h("button", {}, "Away with it")),
    )
  );

  /** @param {Event} event */
  function begin(event) {
    event.preventDefault();
    const only = [.../** @type {NodeListOf<HTMLInputElement>} */ (parts.querySelectorAll("input:checked"))].map((one) => one.name);
    if (only.length === 0) {
      doing.textContent = "Tick what is to be printed.";
      return;
    }
    const body = { paper: paper.value, only, scenes: scene.value ? [scene.value] : null, measured: Number(measured.value), plotter: plotter.checked };
    void bench.attempt(async () => heard(await ask("POST", "kit", body)));
  }

  /** @param {any} now */
  function heard(now) {
    if (now.name !== NAME) return;
    work = now;
    const going = now.state === "waiting" || now.state === "going on";
    lay.disabled = going;
    doing.textContent = going ? (now.total ? `${now.doing}: ${now.done} of ${now.total}` : now.doing || "it waits for other work") : "";
    if (now.state === "done") show(now);
  }

  /** @param {any} now */
  function show(now) {
    const { result } = now;
    const { card: cards, paper: sheets, square_metres: area } = result.cost;
    const link = (/** @type {string} */ file) => `/api/files/${file.split("/").map(encodeURIComponent).join("/")}`;
    cost.replaceChildren(
      h("p", { class: "printing-sum" }, h("b", {}, `${result.total} pages of ${result.paper}`), ` · ${cards} sheets of card, ${sheets} of paper · ${area.toFixed(2)} m²`),
      h("p", {}, h("a", { class: "button", href: link(result.file), target: "_blank" }, "Open to print"), " ", h("a", { href: `${link(result.file)}?download=true`, download: true }, "take it away"), ...result.plotter.map((/** @type {string} */ one, /** @type {number} */ n) => [" ", h("a", { href: `${link(one)}?download=true`, download: true }, `cut ${n + 1}`)])),
      ...result.notes.map((/** @type {string} */ one) => h("p", { class: "mark" }, one)),
    );
    pages.replaceChildren(
      ...Array.from({ length: result.total }, (_, n) => {
        const address = `/api/kit/pages/${n + 1}.jpg?of=${now.number}`;
        return h("a", { href: `${address}&width=1400`, target: "_blank", role: "listitem" }, h("img", { src: `${address}&width=300`, alt: `page ${n + 1}`, loading: "lazy", width: 150 }));
      }),
    );
  }

  const worked = (/** @type {Event} */ event) => heard(/** @type {CustomEvent} */ (event).detail);
  desk.addEventListener("work", worked);
  card.addEventListener("close", () => {
    desk.removeEventListener("work", worked);
    card.remove();
  });
  document.body.append(card);
  card.showModal();
  const before = (await ask("GET", "work")).work.filter((/** @type {any} */ one) => one.name === NAME).at(-1);
  if (before && !work) heard(before);
}
