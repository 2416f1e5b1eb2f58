/** The desk: which place is open, its keys, and what is told on slips of paper. */

import { read, write } from "./core/address.js";
import { Desk } from "./core/desk.js";
import { h } from "./core/dom.js";
import { named, typing } from "./core/keys.js";
import { Refused } from "./core/link.js";
import { showHistory } from "./elements/history.js";
import { showKeys } from "./elements/keycard.js";
import { slip, wrong, workSlip } from "./elements/slips.js";
import { strip } from "./elements/strip.js";
import { walk } from "./elements/walk.js";
import { PLACES } from "./places/index.js";

/** @typedef {import("./core/keys.js").Action} Action */

/**
 * What a place is given to work with.
 *
 * @typedef {object} Bench
 * @property {Desk} desk
 * @property {(place: string, what?: string, query?: Record<string, string | number>) => void} go
 * @property {(query: Record<string, string | number>) => void} note Write something into the address without going.
 * @property {(text: string, wrong?: boolean) => void} say
 * @property {(action: () => Promise<unknown>) => Promise<void>} attempt Do it, and tell what was refused.
 */

/**
 * A place as it is listed.
 *
 * @typedef {object} Listed
 * @property {string} title
 * @property {boolean} [alone] It needs no open film.
 * @property {() => Promise<Place>} come
 */

/**
 * @typedef {object} Place
 * @property {(root: HTMLElement, bench: Bench, what: string, query: URLSearchParams) => Open} enter
 */

/**
 * A place that is open.
 *
 * @typedef {object} Open
 * @property {Action[]} [keys]
 * @property {() => void} [film] Told when the film has changed.
 * @property {() => void} [leave]
 */

const desk = new Desk();
const root = /** @type {HTMLElement} */ (document.getElementById("place"));
/** @type {Open} */
let open = {};
let place = "";

/** @type {Bench} */
const bench = {
  desk,
  go(to, what, query) {
    history.pushState(null, "", write(to, what, query));
    void show();
  },
  note(query) {
    const here = read(location.href);
    history.replaceState(null, "", write(here.place, here.what, { ...Object.fromEntries(here.query), ...query }));
  },
  say: (text, bad = false) => slip(text, bad),
  async attempt(action) {
    try {
      await action();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      wrong(problem.mistakes);
    }
  },
};

/** @type {Action[]} */
const everywhere = [
  { key: "Ctrl+Z", name: "take back the latest step", does: () => void bench.attempt(() => desk.undo()) },
  { key: "Ctrl+Shift+Z", name: "do it again", does: () => void bench.attempt(() => desk.redo()) },
  { key: "Ctrl+Alt+Z", name: "everything that was done", does: () => void showHistory(bench) },
  { key: "Ctrl+P", name: "print the paper kit", does: () => void print() },
  { key: "?", name: "this card", does: () => showKeys(everywhere, open.keys ?? [], PLACES[place]?.title ?? "") },
  ...Object.entries(PLACES)
    .filter(([, one]) => !one.alone)
    .map(([name, one], n) => ({ key: `Alt+${n + 1}`, name: `go to ${one.title}`, does: () => bench.go(name) })),
];

async function print() {
  if (!desk.film) return;
  const { showPrinting } = await import("./elements/printing.js");
  await bench.attempt(() => showPrinting(bench));
}

let visit = 0;

async function show() {
  const address = read(location.href);
  const wanted = address.place || (desk.film ? "reel" : "shelf");
  const one = PLACES[wanted] ?? PLACES.reel;
  if (!one) return;
  if (!one.alone && !desk.film) {
    bench.go("shelf");
    return;
  }
  open.leave?.();
  open = {};
  place = wanted;
  root.replaceChildren();
  root.className = `place-${wanted}`;
  document.title = desk.film && !one.alone ? `${one.title} · ${desk.film.film.title}` : "splitpin";
  // What a place that was left still finishes must write nothing into the address of another.
  visit += 1;
  const mine = visit;
  const note = (/** @type {Record<string, string | number>} */ query) => {
    if (visit === mine) bench.note(query);
  };
  dress();
  const { enter } = await one.come();
  if (visit !== mine) return;
  open = enter(root, { ...bench, note }, address.what, address.query);
  walk(bench, place);
}

function dress() {
  strip(
    /** @type {HTMLElement} */ (document.getElementById("strip")),
    bench,
    PLACES,
    place,
    () => showKeys(everywhere, open.keys ?? [], PLACES[place]?.title ?? ""),
    () => void showHistory(bench),
    () => void print(),
  );
}

addEventListener("popstate", () => void show());
addEventListener("keydown", (event) => {
  const name = named(event);
  if (typing(name, event.target) || document.querySelector("dialog[open]")) return;
  const action = [...(open.keys ?? []), ...everywhere].find((one) => one.key === name);
  if (action) {
    event.preventDefault();
    action.does(event);
  }
});
document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("a[href^='/']") : null;
  if (!(link instanceof HTMLAnchorElement) || link.hasAttribute("download") || link.target) return;
  if (event.ctrlKey || event.metaKey || event.shiftKey || link.pathname.startsWith("/api/")) return;
  event.preventDefault();
  history.pushState(null, "", link.href);
  void show();
});
desk.addEventListener("film", () => {
  if (desk.film === null && !PLACES[place]?.alone) void show();
  else open.film?.();
  dress();
});
desk.addEventListener("work", (event) => workSlip(/** @type {CustomEvent} */ (event).detail, bench));
desk.addEventListener("line", dress);
addEventListener("unhandledrejection", (event) => {
  if (event.reason instanceof Refused) {
    event.preventDefault();
    wrong(event.reason.mistakes);
  }
});

await desk.begin();
await show();
document.body.append(h("div", { id: "ready", hidden: true }));
