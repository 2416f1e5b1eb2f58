/** A form for a move, made of what the server tells of its keys. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";

/** @typedef {import("./stand.js").Stand} Stand */

/**
 * @typedef {object} Key
 * @property {string} key
 * @property {string} shape
 * @property {string} words
 * @property {string} meaning
 * @property {boolean} needed
 * @property {any} default
 * @property {string[]} choices
 */

/**
 * @typedef {object} Kind
 * @property {string} move
 * @property {string} summary
 * @property {string} told
 * @property {string} works_on
 * @property {number | null} positions
 * @property {Key[]} keys
 */

/** @type {Promise<{moves: Kind[], eases: Record<string, string>}> | null} */
let known = null;

/** Every kind of move. */
export function vocabulary() {
  known ??= ask("GET", "moves").catch((problem) => {
    known = null;
    throw problem;
  });
  return known;
}

/** What is asked first, in this order; the rest is folded away. */
const FIRST = ["to", "by", "seconds", "ease", "piece", "feet", "legs", "shows", "end", "sound", "scale", "times", "height", "width_mm", "nearer", "turn_by"];
const ENDS = ["to", "by"];

/**
 * @param {Stand} stand
 * @param {Kind} kind
 * @param {Record<string, any>} keys What the move says so far.
 * @param {Record<string, string>} eases
 */
export function form(stand, kind, keys, eases) {
  /** @type {[Key, () => unknown][]} */
  const readers = [];
  const said = ENDS.some((key) => keys[key] !== undefined);
  const rank = (/** @type {Key} */ key) => (FIRST.indexOf(key.key) + FIRST.length + 1) % (FIRST.length + 1);
  const asked = (/** @type {Key} */ key) => key.needed || keys[key.key] !== undefined || (FIRST.includes(key.key) && !(said && ENDS.includes(key.key)));
  const shown = kind.keys.filter((key) => key.shape !== "table" && asked(key)).sort((a, b) => rank(a) - rank(b));
  const rest = kind.keys.filter((key) => key.shape !== "table" && !shown.includes(key));
  const row = (/** @type {Key} */ key) => {
    const [field, read] = input(stand, key, keys[key.key], String(keys.who ?? ""), eases);
    readers.push([key, read]);
    const name = `${key.key.replaceAll("_", " ")}${key.needed ? " *" : ""}`;
    const box = key.shape === "flag" ? h("label", { class: "tick", title: key.meaning }, field, ` ${name}`) : h("label", { title: `${key.meaning} (${key.words})` }, h("span", {}, name), field);
    return h("div", { class: "table-key" }, box);
  };
  const element = h("div", { class: "table-form" }, shown.map(row), rest.length > 0 && h("details", {}, h("summary", {}, "more"), rest.map(row)));
  return {
    element,
    /** What it says: keys that are left empty are null. */
    read: () => Object.fromEntries(readers.map(([key, read]) => [key.key, read()])),
  };
}

/**
 * @param {Stand} stand
 * @param {Key} key
 * @param {any} value
 * @param {string} who
 * @param {Record<string, string>} eases
 * @returns {[HTMLElement, () => unknown]}
 */
function input(stand, key, value, who, eases) {
  const hint = key.default === null || key.default === undefined ? "" : String(key.default);
  if (key.shape === "flag") {
    const box = /** @type {HTMLInputElement} */ (h("input", { type: "checkbox", checked: value ?? key.default ?? false }));
    return [box, () => (box.checked === (key.default ?? false) && value === undefined ? null : box.checked)];
  }
  const choices = choicesOf(stand, key, who);
  if (choices && !Array.isArray(value)) {
    const select = /** @type {HTMLSelectElement} */ (
      h("select", {}, h("option", { value: "" }, hint ? `usual: ${hint}` : "–"), choices.map((one) => h("option", { value: one, selected: value === one, title: eases[one] ?? "" }, one)))
    );
    return [select, () => select.value || null];
  }
  const text = /** @type {HTMLInputElement} */ (h("input", { type: "text", "data-key": key.key, value: written(value), placeholder: hint || example(key.shape), autocomplete: "off" }));
  return [text, () => (text.value.trim() ? read(key.shape, text.value) : null)];
}

/**
 * @param {Stand} stand
 * @param {Key} key
 * @param {string} who
 * @returns {string[] | null}
 */
function choicesOf(stand, key, who) {
  if (key.choices.length) return key.choices;
  if (key.key === "piece" && who !== "view") return Object.keys(stand.piecesOf(who));
  if (key.key === "panel") return stand.panels.map((one) => one.name);
  return null;
}

/** @param {any} value */
function written(value) {
  if (value === undefined || value === null) return "";
  if (Array.isArray(value) && Array.isArray(value[0])) return value.map((one) => one.join(" ")).join(", ");
  return Array.isArray(value) ? value.join(typeof value[0] === "number" && value.length === 2 ? " " : ", ") : String(value);
}

/** @param {string} shape */
function example(shape) {
  return { spot: "right up", spots: "right up, right up", names: "one, another", numbers: "1, 2" }[shape] ?? "";
}

/**
 * @param {string} shape
 * @param {string} text
 */
function read(shape, text) {
  const numbers = (/** @type {string} */ one) => one.trim().split(/[\s;]+/).map(number);
  if (shape === "number" || shape === "whole") return number(text);
  if (shape === "spot") return numbers(text.replaceAll(",", " "));
  if (shape === "spots") return text.split(",").map(numbers);
  if (shape === "numbers" || (shape === "ease" && /^[\d\s.,-]+$/.test(text))) return numbers(text.replaceAll(",", " "));
  if (shape === "names") {
    const names = text.split(",").map((one) => one.trim());
    return names.length === 1 ? names[0] : names;
  }
  return text.trim();
}

/** A number as it is typed, or the text itself, so that the server can tell what is wrong with it. @param {string} text */
function number(text) {
  const value = Number(text);
  return Number.isFinite(value) ? value : text;
}
