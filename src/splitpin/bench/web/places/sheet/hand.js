/** The card beside the sheet: the chosen exposure as it stands, and a member's values under the hand. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { clock } from "../../core/time.js";

const SELDOM = /(^|\.)(scale|level|hidden|flip)$/;

/**
 * @param {import("../../main.js").Bench} bench
 * @param {string} address Of the scene, as the server knows it.
 * @param {() => void} back To the lines.
 */
export function hand(bench, address, back) {
  const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false" }));
  const head = h("p", { class: "typed sheet-when" });
  const name = h("h2", {});
  const values = h("form", { class: "sheet-values" });
  const element = h("aside", { class: "sheet-side", "aria-label": "the chosen exposure" }, h("div", { class: "paper sheet-picture" }, picture), h("div", { class: "paper old" }, head, name, values));
  let waiting = 0;
  let shown = "";
  let panel = "";
  let wanted = false;
  values.addEventListener("submit", (event) => event.preventDefault());
  values.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" && (event.key !== "Enter" || event.shiftKey || event.target instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    event.stopPropagation();
    const field = /** @type {HTMLElement | null} */ (document.activeElement);
    field?.blur();
    back();
  });

  /**
   * @param {string} scene
   * @param {number} frame
   * @param {string} who
   * @param {string[]} hands
   */
  async function fetchValues(scene, frame, who, hands) {
    if (!who) return write(scene);
    const told = await ask("GET", `${address}/exposures/${frame}`).catch(() => null);
    if (!told || shown !== `${frame} ${who}`) return;
    const pose = told.poses[who];
    if (!pose) return;
    const touched = new Set(touches(scene, who, frame, hands));
    const pieces = /** @type {Map<string, string[]>} */ (new Map());
    for (const channel of Object.keys(pose)) {
      const piece = channel.includes(".") ? /** @type {string} */ (channel.split(".")[0]) : "";
      pieces.set(piece, [...(pieces.get(piece) ?? []), channel]);
    }
    values.replaceChildren(
      ...[...pieces].map(([piece, channels]) => {
        const one = (/** @type {string} */ channel) => field(frame, who, channel, pose[channel], told.sets[who]?.[piece], touched.has(channel));
        const [often, seldom] = [channels.filter((c) => !SELDOM.test(c)), channels.filter((c) => SELDOM.test(c))];
        return h(
          "fieldset",
          {},
          piece && h("legend", {}, piece),
          h("div", {}, often.map(one)),
          seldom.length > 0 && h("details", { open: seldom.some((c) => touched.has(c)) }, h("summary", {}, "size, level, hidden"), h("div", {}, seldom.map(one))),
        );
      }),
    );
    if (wanted) focus();
  }

  /**
   * What the board says of the panel.
   *
   * @param {string} scene
   */
  function write(scene) {
    const panels = /** @type {any[]} */ (bench.desk.film?.documents.scenes[scene]?.panels ?? []);
    const at = panels.findIndex((one) => one.name === panel);
    const line = (/** @type {string} */ key, /** @type {string} */ word) => {
      const text = /** @type {HTMLTextAreaElement} */ (h("textarea", { rows: 3, maxlength: 4000 }, panels[at]?.[key] ?? ""));
      text.addEventListener("change", () => void bench.attempt(() => bench.desk.edit(`write on ${panel}`.slice(0, 100), [{ document: `scenes/${scene}.toml`, path: ["panels", at, key], value: text.value.trim() || null }])));
      return h("label", {}, h("span", {}, word), text);
    };
    values.replaceChildren(line("action", "what happens"), line("note", "note"), h("p", {}, h("a", { href: `/board/${encodeURIComponent(scene)}/${encodeURIComponent(panel)}` }, "To its card")));
    if (wanted) focus();
  }

  /**
   * Which channels a hand has set here: told by the scene's own document.
   *
   * @param {string} scene
   * @param {string} who
   * @param {number} frame
   * @param {string[]} hands
   */
  function touches(scene, who, frame, hands) {
    if (!hands.includes(who)) return [];
    const said = bench.desk.film?.documents.scenes[scene];
    const exposures = bench.desk.film?.exposures.filter((one) => one.scene === scene) ?? [];
    const first = exposures[0]?.frame ?? 0;
    const one = exposures.find((each) => each.frame - first === frame);
    const start = (exposures.find((each) => each.panel === one?.panel)?.frame ?? 0) - first;
    const mine = (said?.touches ?? []).filter((/** @type {any} */ t) => t.who === who && (t.panel ?? said.panels[0].name) === one?.panel && t.frame >= frame - start && t.frame < frame - start + (one?.frames ?? 1));
    return mine.flatMap((/** @type {any} */ t) => Object.entries(t.set).flatMap(([key, value]) => (typeof value === "object" ? Object.keys(/** @type {object} */ (value)).map((rest) => `${key}.${rest}`) : [key])));
  }

  /**
   * @param {number} frame
   * @param {string} who
   * @param {string} channel
   * @param {unknown} value
   * @param {string[] | undefined} choices
   * @param {boolean} touched
   */
  function field(frame, who, channel, value, choices, touched) {
    const word = channel.split(".").at(-1) ?? "";
    const set = (/** @type {unknown} */ to) => bench.attempt(() => bench.desk.do("POST", `${address}/touches`, { changes: [{ frame, who, set: { [channel]: to } }] }));
    /** @type {HTMLElement} */
    let input;
    if (typeof value === "boolean") {
      input = h("input", { type: "checkbox", checked: value });
      input.addEventListener("change", () => void set(/** @type {HTMLInputElement} */ (input).checked));
    } else if (typeof value === "string") {
      input = h("select", {}, (choices ?? [value]).map((one) => h("option", { value: one, selected: one === value }, one)));
      input.addEventListener("change", () => void set(/** @type {HTMLSelectElement} */ (input).value));
    } else {
      const shown = String(Number(Number(value).toFixed(2)));
      input = h("input", { type: "text", inputmode: "decimal", value: shown, class: "typed" });
      const one = /** @type {HTMLInputElement} */ (input);
      one.addEventListener("change", () => {
        const to = Number(one.value.replace(",", ".").replace("−", "-"));
        if (!one.value.trim() || !Number.isFinite(to)) {
          bench.say(`${one.value || "nothing"}: expected a number`, true);
          one.value = shown;
        } else void set(to);
      });
    }
    return h("label", { class: touched ? "touched" : "" }, h("span", {}, word), input);
  }

  function focus() {
    wanted = false;
    const first = /** @type {HTMLInputElement | null} */ (values.querySelector("input, select, textarea"));
    if (!first) return void (wanted = true);
    first.focus();
    if (first instanceof HTMLInputElement && first.type === "text") first.select();
  }

  return {
    element,
    /**
     * @param {import("../sheet.js").Line} row
     * @param {string} who
     * @param {string} scene
     * @param {number} rate
     */
    tell(row, who, scene, rate) {
      clearTimeout(waiting);
      const before = shown;
      shown = `${row.frame} ${who}`;
      head.textContent = `${clock(row.frame, rate)}  frame ${row.frame}, held ${row.frames}`;
      name.textContent = who || row.panel;
      panel = row.panel;
      const typing = values.contains(document.activeElement);
      if (before !== shown && typing) back();
      if (before !== shown && before.slice(before.indexOf(" ")) !== ` ${who}`) values.replaceChildren();
      waiting = setTimeout(() => {
        picture.src = `/api/frames/${row.key}.jpg?width=640`;
        if (typing && before === shown) return refresh(row, who, scene);
        void fetchValues(scene, row.frame, who, row.hands);
      }, before === shown ? 0 : 130);
    },
    focus,
    leave: () => clearTimeout(waiting),
  };

  /**
   * The same exposure after a change: what is being typed stays, and so does where the hand is.
   *
   * @param {import("../sheet.js").Line} row
   * @param {string} who
   * @param {string} scene
   */
  async function refresh(row, who, scene) {
    const fields = () => /** @type {HTMLElement[]} */ ([...values.querySelectorAll("input, select, textarea")]);
    const at = fields().indexOf(/** @type {HTMLElement} */ (document.activeElement));
    await fetchValues(scene, row.frame, who, row.hands);
    fields()[at]?.focus();
  }
}
