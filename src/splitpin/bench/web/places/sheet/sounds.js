/** The card of a scene's sounds: what hangs where, hear it, hang another, take one down. */

import { h } from "../../core/dom.js";
import { ask } from "../../core/link.js";
import { clock } from "../../core/time.js";

/**
 * @param {import("../../main.js").Bench} bench
 * @param {string} scene
 * @param {number} frame The chosen one, of the scene.
 * @param {number} rate
 */
export async function showSounds(bench, scene, frame, rate) {
  if (document.querySelector(".sheet-sounds")) return;
  const address = `scenes/${encodeURIComponent(scene)}/cues`;
  const list = h("ul", {});
  const sound = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "which sound" }));
  const where = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "where it hangs" }));
  const kind = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": "what it is, for the mix" }, ["effect", "music", "voice"].map((one) => h("option", { value: one }, one))));
  const gain = /** @type {HTMLInputElement} */ (h("input", { type: "number", "aria-label": "louder or softer, dB", value: "0", min: "-120", max: "40", step: "1" }));
  const audio = new Audio();
  const card = /** @type {HTMLDialogElement} */ (
    h(
      "dialog",
      { class: "sheet-sounds", "aria-label": "sounds of the scene" },
      h("h2", {}, `Sounds of ${scene}`),
      list,
      h("form", { class: "sheet-hang", onsubmit: hang }, h("label", {}, h("span", {}, "sound"), sound), h("label", {}, h("span", {}, "hangs"), where), h("label", {}, h("span", {}, "it is"), kind), h("label", {}, h("span", {}, "dB"), gain), h("button", { class: "first" }, "Hang it")),
      h("form", { method: "dialog" }, h("button", {}, "Away with it")),
    )
  );

  async function show() {
    const told = await ask("GET", address);
    const events = [...new Set(told.events.map((/** @type {any} */ one) => `${one.move}.${one.name}`))];
    list.replaceChildren(...(told.cues.length ? told.cues.map(row) : [h("li", { class: "quiet" }, "Nothing is heard here yet.")]));
    const [chosen, place] = [sound.value, where.value];
    sound.replaceChildren(
      h("optgroup", { label: "in the film" }, told.sounds.map((/** @type {string} */ one) => h("option", { value: one }, one))),
      h("optgroup", { label: "made for you" }, told.kit.map((/** @type {any} */ one) => h("option", { value: one.name, title: one.about }, one.name))),
    );
    where.replaceChildren(h("option", { value: "" }, `at ${clock(frame, rate)}`), ...events.map((one) => h("option", { value: one }, `on ${one}`)));
    if (chosen) sound.value = chosen;
    if (place) where.value = place;
  }

  /** @param {any} cue */
  function row(cue) {
    const heard = cue.heard.length ? cue.heard.map((/** @type {number} */ at) => clock(Math.round(at), rate)).join(", ") : "not heard";
    return h(
      "li",
      {},
      h("b", {}, cue.sound),
      h("span", { class: "typed quiet" }, `${cue.event ? `on ${cue.event}: ` : ""}${heard}`),
      h("span", { class: "quiet" }, `${cue.kind}${cue.gain ? `, ${cue.gain} dB` : ""}`),
      h("button", { class: "plain", "aria-label": `hear ${cue.sound}`, onclick: () => hear(cue.sound) }, "hear"),
      h("button", { class: "plain", "aria-label": `take down ${cue.sound}`, onclick: () => void bench.attempt(() => bench.desk.do("DELETE", `${address}/${cue.number}`)) }, "take down"),
    );
  }

  /** @param {string} name */
  function hear(name) {
    audio.src = `/api/files/sounds/${encodeURIComponent(name)}`;
    audio.play().catch(() => bench.say(`${name} cannot be played here.`, true));
  }

  /** @param {Event} event */
  function hang(event) {
    event.preventDefault();
    const at = where.value ? { event: where.value } : { frame };
    void bench.attempt(async () => {
      const told = await bench.desk.do("POST", address, { sound: sound.value, ...at, kind: kind.value, gain: Number(gain.value) || 0 });
      bench.say(`${told.sound} hangs`);
    });
  }

  const read = () => void bench.attempt(show);
  bench.desk.addEventListener("film", read);
  card.addEventListener("close", () => {
    bench.desk.removeEventListener("film", read);
    audio.pause();
    card.remove();
  });
  document.body.append(card);
  await show();
  card.showModal();
  sound.focus();
}
