/** The shelf: films lately open, a new one, the example. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";

/** @type {import("../main.js").Place} */
export const shelf = {
  enter(root, bench) {
    const films = h("section", { class: "shelf-films", "aria-label": "films lately open", hidden: true });
    const slips = h("div", { class: "shelf-slips" });
    root.append(
      h("div", { class: "shelf-head" }, h("h1", {}, "What shall it be today?"), h("p", { class: "quiet" }, "A film is a folder of plain pictures and plain text on this computer. Nothing leaves it.")),
      films,
      slips,
    );
    const show = (/** @type {any} */ told) => {
      films.replaceChildren(...told.films.map((/** @type {any} */ film) => can(bench, film, told.open, show)));
      films.hidden = told.films.length === 0;
    };
    void bench.attempt(async () => {
      const told = await ask("GET", "shelf");
      show(told);
      slips.append(begin(bench, told.home, false), begin(bench, told.home, true), other(bench));
    });
    return {
      keys: [
        { key: "N", name: "a new film", does: () => /** @type {HTMLElement | null} */ (slips.querySelector("input"))?.focus() },
        { key: "O", name: "open one that lies elsewhere", does: () => /** @type {HTMLElement | null} */ (slips.querySelector("form:last-child input"))?.focus() },
      ],
    };
  },
};

/**
 * A film with its first frame.
 *
 * @param {import("../main.js").Bench} bench
 * @param {{number: number, folder: string, name: string}} film
 * @param {string | null} open
 * @param {(told: any) => void} show
 */
function can(bench, film, open, show) {
  const lay = () =>
    bench.attempt(async () => {
      await bench.desk.do("POST", "shelf/open", { folder: film.folder });
      bench.go("reel");
    });
  const away = () => bench.attempt(async () => show(await ask("DELETE", "shelf", { folder: film.folder })));
  return h(
    "div",
    { class: "paper shelf-film" },
    h(
      "button",
      { onclick: lay, title: film.folder },
      h("img", { src: `/api/shelf/${film.number}/frame.jpg`, alt: "", loading: "lazy" }),
      h("b", {}, film.name),
      h("small", {}, film.folder === open ? "lies on the desk" : film.folder),
    ),
    film.folder !== open && h("button", { class: "plain shelf-away", "aria-label": `take ${film.name} off the shelf`, title: "off the shelf; its folder stays", onclick: away }, "×"),
  );
}

/**
 * @param {import("../main.js").Bench} bench
 * @param {string} home
 * @param {boolean} example
 */
function begin(bench, home, example) {
  const folder = /** @type {HTMLInputElement} */ (
    h("input", { name: "folder", value: `${home}/${example ? "exact-change" : "my-film"}`, spellcheck: "false", "aria-label": "its folder" })
  );
  return h(
    "form",
    {
      class: "paper old shelf-slip",
      onsubmit: (/** @type {Event} */ event) => {
        event.preventDefault();
        void bench.attempt(async () => {
          await bench.desk.do("POST", "shelf/new", { folder: folder.value, example });
          bench.go(example ? "reel" : "board");
        });
      },
    },
    h("h3", {}, example ? "The example" : "A new film"),
    h("p", {}, example ? "Exact Change: half a minute of a proud cup and a cat, to take apart and play with." : "Two empty cards, playing from the first minute."),
    h("label", {}, h("span", {}, "in the folder"), folder),

    h("button", { class: example ? "" : "first" }, example ? "Lay it out" : "Begin"),
  );
}

/** @param {import("../main.js").Bench} bench */
function other(bench) {
  const folder = /** @type {HTMLInputElement} */ (h("input", { name: "folder", placeholder: "/home/me/films/boat", spellcheck: "false", "aria-label": "its folder" }));
  return h(
    "form",
    {
      class: "paper old shelf-slip",
      onsubmit: (/** @type {Event} */ event) => {
        event.preventDefault();
        void bench.attempt(async () => {
          await bench.desk.do("POST", "shelf/open", { folder: folder.value });
          bench.go("reel");
        });
      },
    },
    h("h3", {}, "Another film"),
    h("p", {}, "One that lies somewhere else on this computer."),
    h("label", {}, h("span", {}, "in the folder"), folder),

    h("button", {}, "Open"),
  );
}
