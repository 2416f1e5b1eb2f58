/** The card of a found picture: where it comes from. Every line of it can be written on at once. */

import { h } from "../../core/dom.js";

/**
 * A found picture, as the server tells of it.
 *
 * @typedef {object} Print
 * @property {string} name
 * @property {string} file
 * @property {any} document
 * @property {boolean} told
 * @property {number | null} width
 * @property {number | null} height
 * @property {string} stamp
 * @property {string[]} unresolved
 * @property {string[]} cutouts
 * @property {import("../../core/link.js").Mistake[]} mistakes
 */

const LICENCES = [
  ["CC0-1.0", "given to everybody"],
  ["CC-PDM-1.0", "in the public domain"],
  ["CC-BY-4.0", "name the maker"],
  ["CC-BY-SA-4.0", "name the maker, pass on alike"],
  ["LicenseRef-own", "my own"],
  ["LicenseRef-permission", "I have a permission"],
];

const LINES = [
  { key: "source", name: "found in", hint: "a magazine and its page, a drawer" },
  { key: "by", name: "by", hint: "who made it" },
  { key: "date", name: "date", hint: "1912" },
  { key: "licence", name: "licence", hint: "CC0-1.0" },
  { key: "ppi", name: "scanned at", hint: "pixels per inch" },
];

/** The licences that the cards propose; the page needs this list once. */
export function licences() {
  return h("datalist", { id: "pictures-licences" }, LICENCES.map(([id, means]) => h("option", { value: id }, means)));
}

/**
 * @param {import("../../main.js").Bench} bench
 * @param {Print} print
 */
export function card(bench, print) {
  const document = `pictures/${print.name}.toml`;
  /** @param {string} key @param {HTMLInputElement} field */
  const keep = (key, field) => {
    const text = field.value;
    const value = text.trim() === "" ? null : key === "ppi" ? Number(text) : text.trim();
    if (value === (print.document[key] || null)) return;
    const label = value === null ? `${print.name}: take its ${key} away` : `${print.name}: note its ${key}`;
    const start = print.told ? [] : [{ document, path: [], value: { format: 1 } }];
    void bench.attempt(async () => {
      try {
        await bench.desk.edit(label, [...start, { document, path: [key], value }]);
      } catch (problem) {
        field.value = print.document[key] ?? "";
        throw problem;
      }
    });
  };
  return h(
    "div",
    { class: "pictures-card" },
    LINES.map(({ key, name, hint }) =>
      h(
        "label",
        { class: asked(print, key) ? "asked" : "" },
        h("span", {}, name),
        h("input", {
          "data-key": key,
          value: print.document[key] ?? "",
          placeholder: hint,
          spellcheck: "false",
          list: key === "licence" ? "pictures-licences" : null,
          inputmode: key === "ppi" ? "decimal" : null,
          "aria-label": `${print.name}: ${name}`,
          onchange: (/** @type {Event} */ event) => keep(key, /** @type {HTMLInputElement} */ (event.target)),
        }),
      ),
    ),
  );
}

/**
 * The red mark of a picture of which something should still be found out.
 *
 * @param {Print} print
 */
export function question(print) {
  if (!print.unresolved.length) return null;
  const what = `not known: ${print.unresolved.join("; ")}`;
  return h("span", { class: "pictures-asked", title: what, role: "img", "aria-label": what }, "?");
}

/** @param {Print} print @param {string} key */
function asked(print, key) {
  return print.unresolved.some((one) => one.includes(`\`${key}\``) || (!print.told && (key === "source" || key === "licence")));
}
