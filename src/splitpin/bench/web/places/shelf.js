/** The shelf: films lately open, a new one, the example. */

import { h } from "../core/dom.js";
import { ask } from "../core/link.js";

/** @type {import("../main.js").Place} */
export const shelf = {
  title: "Shelf",
  alone: true,
  enter(root, bench) {
    const films = h("div", { class: "films" });
    root.append(
      h("div", { class: "shelf-head" }, h("h1", {}, "What shall it be today?"), h("p", { class: "quiet" }, "A film is a folder of plain pictures and plain text on this computer. Nothing leaves it.")),
      films,
    );
    void bench.attempt(async () => {
      const told = await ask("GET", "shelf");
      films.append(
        begin(bench, told.home, false),
        begin(bench, told.home, true),
        ...told.films.map((/** @type {any} */ film) => can(bench, film, told.open)),
        other(bench),
      );
    });
    return {};
  },
};

/**
 * A film can with its first frame as a label.
 *
 * @param {import("../main.js").Bench} bench
 * @param {{number: number, folder: string, name: string}} film
 * @param {string | null} open
 */
function can(bench, film, open) {
  const lay = () =>
    bench.attempt(async () => {
      await bench.desk.do("POST", "shelf/open", { folder: film.folder });
      bench.go("reel");
    });
  return h(
    "button",
    { class: "paper film-card", onclick: lay, title: film.folder },
    h("img", { src: `/api/shelf/${film.number}/frame.jpg`, alt: "", loading: "lazy" }),
    h("h3", {}, film.name),
    h("p", { class: "quiet" }, film.folder === open ? "lies on the desk" : film.folder),
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
      class: "paper old film-card",
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
    h("p", {}),
    h("button", { class: example ? "" : "first" }, example ? "Lay it out" : "Begin"),
  );
}

/** @param {import("../main.js").Bench} bench */
function other(bench) {
  const folder = /** @type {HTMLInputElement} */ (h("input", { name: "folder", placeholder: "/home/me/films/boat", spellcheck: "false", "aria-label": "its folder" }));
  return h(
    "form",
    {
      class: "paper old film-card",
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
    h("p", {}),
    h("button", {}, "Open"),
  );
}
