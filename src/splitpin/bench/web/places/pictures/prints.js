/** All found pictures, as prints laid on the desk. */

import { write } from "../../core/address.js";
import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { card, licences, question } from "./card.js";

/** @typedef {import("./card.js").Print} Print */

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @returns {import("../../main.js").Open}
 */
export function prints(root, bench) {
  const { desk } = bench;
  const chosen = /** @type {HTMLInputElement} */ (
    h("input", { type: "file", multiple: true, accept: "image/png,image/jpeg,image/tiff,image/webp,.wav,.flac,.ogg,.mp3", hidden: true, "aria-label": "pictures to bring", onchange: () => bring([...(chosen.files ?? [])]) })
  );
  const head = h("p", { class: "quiet pictures-count" });
  const tray = bringTray(() => chosen.click());
  const laid = h("div", { class: "pictures-desk" }, tray.element);
  root.append(h("header", { class: "pictures-head" }, h("h1", {}, "Found pictures"), head), laid, chosen, licences());
  /** @type {Map<string, {told: string, element: HTMLElement}>} */
  const there = new Map();
  let here = true;

  async function lay() {
    /** @type {{pictures: Print[], mistakes: import("../../core/link.js").Mistake[]}} */
    const told = await ask("GET", "pictures");
    if (!here) return;
    const open = told.pictures.filter((one) => one.unresolved.length).length;
    head.textContent = told.pictures.length
      ? `${told.pictures.length} on the desk${open ? `; of ${open} it should still be found out where they come from` : ", and of all it is known where they come from"}.`
      : "A picture from a magazine, a photograph, an engraving: whatever can be cut out.";
    laid.classList.toggle("nothing", told.pictures.length === 0);
    for (const name of [...there.keys()]) if (!told.pictures.some((one) => one.name === name)) forget(name);
    for (const one of told.pictures) place(one);
    for (const one of told.mistakes) bench.say(`${one.file}: ${one.found}. ${one.remedy}.`, true);
  }

  /** @param {string} name */
  function forget(name) {
    there.get(name)?.element.remove();
    there.delete(name);
  }

  /** @param {Print} one */
  function place(one) {
    const told = JSON.stringify(one);
    const before = there.get(one.name);
    if (before?.told === told) {
      laid.append(before.element);
      return;
    }
    const element = print(bench, one);
    const at = document.activeElement;
    const key = before && at instanceof HTMLElement && before.element.contains(at) ? at.dataset.key : undefined;
    before?.element.remove();
    laid.append(element);
    there.set(one.name, { told, element });
    if (key) /** @type {HTMLElement | null} */ (element.querySelector(`[data-key="${key}"]`))?.focus();
  }

  /** @param {File[]} files */
  function bring(files) {
    chosen.value = "";
    if (!files.length) return;
    const form = new FormData();
    for (const file of files) form.append("files", file, file.name || "pasted.png");
    for (const [key, value] of Object.entries(tray.told())) if (value) form.append(key, value);
    void bench.attempt(() => ask("POST", "pictures", form));
  }

  const worked = (/** @type {Event} */ event) => {
    const work = /** @type {CustomEvent} */ (event).detail;
    if (work.state !== "done" || !work.result?.brought) return;
    for (const one of work.result.brought) {
      const notes = [...one.notes, ...one.kept.map((/** @type {any} */ k) => `its card keeps “${k.noted}” as its ${k.key}`)];
      const said = one.duplicate ? `${one.file} lies here already, as ${one.name}` : `${one.name} is brought`;
      bench.say([one.kind === "sound" ? `${said}, a sound` : said, ...notes].join("; "));
    }
  };
  const pasted = (/** @type {ClipboardEvent} */ event) => {
    const files = [...(event.clipboardData?.files ?? [])];
    if (!files.length) return;
    event.preventDefault();
    bring(files);
  };
  const over = (/** @type {DragEvent} */ event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    root.classList.add("pictures-over");
  };
  const gone = (/** @type {DragEvent} */ event) => {
    if (event.type === "dragleave" && event.relatedTarget instanceof Node && root.contains(event.relatedTarget)) return;
    root.classList.remove("pictures-over");
  };
  const dropped = (/** @type {DragEvent} */ event) => {
    gone(event);
    const files = [...(event.dataTransfer?.files ?? [])];
    if (!files.length) return;
    event.preventDefault();
    bring(files);
  };
  desk.addEventListener("work", worked);
  document.addEventListener("paste", pasted);
  root.addEventListener("dragover", over);
  root.addEventListener("dragleave", gone);
  root.addEventListener("drop", dropped);
  void bench.attempt(lay);

  const step = (/** @type {number} */ by) => {
    const links = /** @type {HTMLElement[]} */ ([...laid.querySelectorAll(".pictures-face")]);
    const now = links.findIndex((one) => one === document.activeElement || one.closest("article")?.contains(document.activeElement));
    links[Math.min(links.length - 1, Math.max(0, now + by))]?.focus();
  };
  return {
    keys: [
      { key: "B", name: "bring pictures", does: () => chosen.click() },
      { key: "ArrowRight", name: "the next picture", does: () => step(1) },
      { key: "ArrowLeft", name: "the picture before", does: () => step(-1) },
      { key: "C", name: "cut from the picture that is chosen", does: () => cutFrom() },
    ],
    film: () => void bench.attempt(lay),
    leave() {
      here = false;
      desk.removeEventListener("work", worked);
      document.removeEventListener("paste", pasted);
      root.removeEventListener("dragover", over);
      root.removeEventListener("dragleave", gone);
      root.removeEventListener("drop", dropped);
      root.classList.remove("pictures-over");
    },
  };

  function cutFrom() {
    const one = document.activeElement?.closest("[data-name]");
    if (one instanceof HTMLElement && one.dataset.name) bench.go("mat", one.dataset.name);
  }
}

/**
 * Where new pictures are laid down.
 *
 * @param {() => void} choose
 */
function bringTray(choose) {
  const lines = { source: "found in", by: "by", date: "date", licence: "licence" };
  const fields = Object.entries(lines).map(([key, name]) => ({
    key,
    field: /** @type {HTMLInputElement} */ (h("input", { spellcheck: "false", list: key === "licence" ? "pictures-licences" : null, "aria-label": `of all of them: ${name}` })),
    name,
  }));
  const element = h(
    "section",
    { class: "pictures-tray", "aria-label": "bring pictures" },
    h("h2", {}, "Drop pictures here"),
    h("p", { class: "quiet" }, "or paste them, or"),
    h("button", { class: "first", onclick: choose }, "Choose files"),
    h("p", { class: "quiet small" }, "JPEG, PNG, TIFF, WebP. They are kept as they are."),
    h("details", {}, h("summary", {}, "they all come from…"), h("div", { class: "pictures-card" }, fields.map((one) => h("label", {}, h("span", {}, one.name), one.field)))),
  );
  return { element, told: () => Object.fromEntries(fields.map((one) => [one.key, one.field.value.trim()])) };
}

/**
 * @param {import("../../main.js").Bench} bench
 * @param {Print} one
 */
function print(bench, one) {
  const lean = [...one.name].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) % 97, 7) / 97 - 0.5;
  const face = h(
    "a",
    { class: "pictures-face", href: write("pictures", one.name), "data-name": one.name, "aria-label": `open ${one.name}` },
    one.width ? h("img", { src: `/api/pictures/${encodeURIComponent(one.name)}/print.jpg?side=520&stamp=${one.stamp}`, alt: "", loading: "lazy", draggable: "false" }) : h("span", { class: "quiet" }, one.mistakes[0]?.found ?? "it cannot be read"),
  );
  face.style.setProperty("--lean", `${(lean * 2.4).toFixed(2)}deg`);
  return h(
    "article",
    { class: "pictures-print", "data-name": one.name },
    h("div", { class: "pictures-lie" }, face),
    question(one),
    h("h3", {}, h("a", { href: write("pictures", one.name) }, one.name)),
    h("p", { class: "typed quiet" }, one.width ? `${one.width} × ${one.height} px` : "", one.cutouts.length ? ` · ${one.cutouts.length} cut-out${one.cutouts.length > 1 ? "s" : ""}` : ""),
    card(bench, one),
    h("p", { class: "pictures-do" }, h("a", { class: "button", href: write("mat", one.name) }, "Cut from it")),
  );
}
