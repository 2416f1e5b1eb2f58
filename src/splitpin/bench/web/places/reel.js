/** The reel: the film, always playable. */

import { write } from "../core/address.js";
import { h } from "../core/dom.js";
import { ask } from "../core/link.js";
import { Player } from "../core/player.js";
import { at, clock, rateOf } from "../core/time.js";
import { ribbon } from "../elements/ribbon.js";

/** @type {import("../main.js").Place} */
export const reel = {
  title: "Reel",
  enter(root, bench, _what, query) {
    const { desk } = bench;
    const film = () => /** @type {import("../core/desk.js").Film} */ (desk.film);
    const playing = () => ({ exposures: film().exposures, frames: film().frames, rate: rateOf(film().film.rate) });
    const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false" }));
    const player = new Player(picture, playing, 1280);
    const head = h("div", { class: "reel-time typed", "aria-live": "off" });
    const play = h("button", { class: "first", onclick: toggle }, "Play");
    const round = h("button", { "aria-pressed": "false", title: "let this scene go round (L)", onclick: goRound }, "Scene round");
    const frames = ribbon(bench, (frame) => player.seek(frame));
    const notes = h("div", { class: "reel-notes" });
    const made = h("div", { class: "paper reel-made" });
    const whose = h("div", { class: "paper old reel-whose" });
    root.append(
      h(
        "div",
        { class: "reel" },
        h("div", { class: "reel-screen paper" }, picture),
        h("div", { class: "reel-hands" }, play, h("button", { "aria-label": "one exposure back", title: "one exposure back (←)", onclick: () => player.step(-1) }, "◂"), h("button", { "aria-label": "one exposure on", title: "one exposure on (→)", onclick: () => player.step(1) }, "▸"), round, head),
        frames.element,
        h("div", { class: "reel-below" }, notes, h("div", { class: "reel-side" }, made, whose)),
      ),
    );

    function toggle() {
      if (player.playing) player.stop();
      else void player.play();
    }

    function goRound() {
      const one = film().exposures[at(film().exposures, player.frame)];
      const inside = film().exposures.filter((e) => e.scene === one?.scene);
      const last = inside.at(-1);
      player.loop = player.loop || !inside[0] || !last ? null : [inside[0].frame, last.frame + last.frames];
      round.setAttribute("aria-pressed", String(player.loop !== null));
    }

    let here = true;
    player.addEventListener("frame", () => {
      if (!here) return;
      const { exposures, frames: count, rate } = playing();
      const one = exposures[at(exposures, player.frame)];
      play.textContent = player.playing ? "Stop" : "Play";
      head.textContent = `${clock(player.frame, rate)}  frame ${player.frame} of ${count}  ${one ? `${one.scene}, ${one.panel}` : ""}`;
      frames.at(player.frame);
      if (!player.playing) bench.note({ frame: player.frame });
    });

    function changed() {
      player.sound(film().mistakes.length ? "" : `/api/sound.wav?revision=${film().revision}`);
      frames.draw();
      player.seek(Math.min(player.frame, film().frames - 1));
      void tellNotes(notes, bench, frames);
      void tellMade(made, bench);
      void tellWhose(whose);
    }

    player.frame = Number(query.get("frame") ?? 0) || 0;
    changed();
    const worked = (/** @type {Event} */ event) => {
      const work = /** @type {CustomEvent} */ (event).detail;
      if (work.state === "done") void tellMade(made, bench, work);
    };
    desk.addEventListener("work", worked);
    return {
      keys: [
        { key: "Space", name: "play or stop", does: toggle },
        { key: "ArrowLeft", name: "one exposure back", does: () => player.step(-1) },
        { key: "ArrowRight", name: "one exposure on", does: () => player.step(1) },
        { key: "Home", name: "to the beginning", does: () => player.seek(0) },
        { key: "End", name: "to the end", does: () => player.seek(film().frames - 1) },
        { key: "L", name: "let this scene go round", does: goRound },
        { key: "M", name: "make the film", does: () => void bench.attempt(() => ask("POST", "make", {})) },
      ],
      film: changed,
      leave() {
        here = false;
        player.stop();
        player.sound("");
        desk.removeEventListener("work", worked);
      },
    };
  },
};

/**
 * What a person should know, where it happens.
 *
 * @param {HTMLElement} root
 * @param {import("../main.js").Bench} bench
 * @param {{pin: (mistakes: import("../core/link.js").Mistake[]) => void}} frames
 */
async function tellNotes(root, bench, frames) {
  const revision = bench.desk.film?.revision;
  const told = await ask("GET", "warnings");
  if (bench.desk.film?.revision !== revision) return;
  const all = [...told.mistakes, ...told.warnings];
  frames.pin(all);
  root.replaceChildren(
    h("h2", {}, all.length ? "To look at" : "Nothing to mend"),
    ...all.slice(0, 40).map((m, n) => {
      const scene = /^scenes\/(.+)\.toml$/.exec(m.file)?.[1];
      return h(
        "div",
        { class: n < told.mistakes.length ? "paper note wrong" : "paper note" },
        h("p", {}, scene ? h("a", { href: write("sheet", scene) }, scene) : h("b", {}, m.file), `: ${m.found}`),
        h("p", { class: "quiet" }, `Expected ${m.expected}. ${m.remedy}.`),
      );
    }),
  );
}

/**
 * Making and what was made.
 *
 * @param {HTMLElement} root
 * @param {import("../main.js").Bench} bench
 * @param {any} [work]
 */
async function tellMade(root, bench, work) {
  const told = await ask("GET", "outlets").catch(() => null);
  const done = work ?? [...bench.desk.work.values()].filter((w) => w.result?.outlets).at(-1);
  const all = told ? { ...told.standard, ...told.film } : {};
  const own = told ? Object.keys(told.film) : [];
  const choice = h("select", { "aria-label": "outlet" }, h("option", { value: "" }, `as the film says: ${own.join(", ") || "none"}`), ...Object.keys(all).sort().map((name) => h("option", { value: name }, `${name} (${all[name].kind})`)));
  root.replaceChildren(
    h("h2", {}, "Make it"),
    h("label", {}, h("span", {}, "for"), choice),
    h("p", {}),
    h(
      "button",
      {
        class: "first",
        disabled: !told,
        onclick: () => {
          const name = /** @type {HTMLSelectElement} */ (choice).value;
          void bench.attempt(() => ask("POST", "make", name ? { outlets: [name] } : {}));
        },
      },
      "Make the film",
    ),
    ...(done?.result?.outlets ?? []).map((/** @type {any} */ one) =>
      h(
        "div",
        { class: "made" },
        h("h3", {}, one.name),
        one.loudness !== null && h("p", { class: "typed" }, `${one.loudness} LUFS, ${one.true_peak} dBTP${one.range === null ? "" : `, range ${one.range} LU`}`),
        ...one.files.map((/** @type {string} */ file) => h("p", {}, h("a", { href: `/api/files/${file}?download=true`, download: true }, file))),
      ),
    ),
  );
}

/**
 * Whose pictures and sounds are seen and heard.
 *
 * @param {HTMLElement} root
 */
async function tellWhose(root) {
  const told = await ask("GET", "credits").catch(() => null);
  root.hidden = !told;
  if (!told) return;
  root.replaceChildren(
    h("h2", {}, "Credits"),
    ...told.unresolved.map((/** @type {any} */ one) =>
      h("p", {}, h("span", { class: "mark" }, "? "), h("b", {}, one.name), `: ${one.unresolved.join(", ")} not known`),
    ),
    h("pre", { class: "roll" }, told.roll),
  );
}
