/** The reel: the film, always playable; what to look at, where it happens; making it and whose it is. */

import { h } from "../core/dom.js";
import { Player } from "../core/player.js";
import { at, clock, rateOf } from "../core/time.js";
import { ribbon } from "../elements/ribbon.js";
import { notes } from "./reel/notes.js";
import { credits } from "./reel/credits.js";
import { maker } from "./reel/maker.js";

const QUIET = 300;
/** Milliseconds without a change after which the film is looked through. */
const PATIENCE = 4000;
/** Milliseconds after which a picture that does not come is not waited for. */

/** @type {import("../main.js").Place} */
export const reel = {
  enter(root, bench, _what, query) {
    const { desk } = bench;
    let here = true;
    const film = () => /** @type {import("../core/desk.js").Film} */ (desk.film);
    const playing = () => ({ exposures: film().exposures, frames: film().frames, rate: rateOf(film().film.rate) });
    const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false" }));
    const player = new Player(picture, playing, 1280);
    const head = h("div", { class: "reel-time typed", "aria-live": "off" });
    const play = h("button", { class: "first", onclick: toggle }, "Play");
    const round = h("button", { "aria-pressed": "false", title: "let this scene go round (L)", onclick: goRound }, "Scene round");
    const frames = ribbon(bench, (frame) => player.seek(frame));
    const told = notes(bench, frames, (frame) => player.seek(frame));
    const made = maker(bench, () => film().exposures[at(film().exposures, player.frame)]?.scene ?? "");
    const whose = credits(bench);
    const hand = (/** @type {string} */ mark, /** @type {string} */ name, /** @type {string} */ key, /** @type {() => void} */ does) =>
      h("button", { "aria-label": name, title: `${name} (${key})`, onclick: does }, mark);
    root.append(
      h(
        "div",
        { class: "reel" },
        h("div", { class: "reel-screen paper" }, picture),
        h(
          "div",
          { class: "reel-hands" },
          play,
          hand("«", "one exposure back", "←", () => player.step(-1)),
          hand("‹", "one frame back", ",", () => player.nudge(-1)),
          hand("›", "one frame on", ".", () => player.nudge(1)),
          hand("»", "one exposure on", "→", () => player.step(1)),
          round,
          head,
        ),
        frames.element,
        h("div", { class: "reel-below" }, told.element, h("div", { class: "reel-side" }, made.element, whose.element)),
      ),
    );

    function toggle() {
      if (player.playing) player.stop();
      else void player.play();
    }

    /** The scene that is seen, from its first frame to the first after it. */
    function scene() {
      const one = film().exposures[at(film().exposures, player.frame)];
      const inside = film().exposures.filter((e) => e.scene === one?.scene);
      const last = inside.at(-1);
      return /** @type {[number, number] | null} */ (!inside[0] || !last ? null : [inside[0].frame, last.frame + last.frames]);
    }

    function goRound() {
      player.loop = player.loop ? null : scene();
      round.setAttribute("aria-pressed", String(player.loop !== null));
      frames.mark(player.loop);
      if (player.loop && !player.playing) void player.play();
    }

    /** @param {number} by Scenes, forth or back. */
    function jump(by) {
      const firsts = film().exposures.filter((e, n, all) => n === 0 || all[n - 1]?.scene !== e.scene).map((e) => e.frame);
      const here = firsts.filter((frame) => frame <= player.frame).length - 1;
      const to = firsts[Math.max(0, Math.min(firsts.length - 1, here + by))];
      if (to !== undefined) player.seek(to);
    }

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
      const [wide, high] = film().film.picture;
      picture.parentElement?.style.setProperty("--shape", String(wide / high));
      frames.draw();
      player.seek(Math.min(player.frame, film().frames - 1));
      if (player.loop) {
        player.loop = scene();
        frames.mark(player.loop);
      }
      // The picture first: what takes the server longer is asked for when it lies there.
      const revision = film().revision;
      void seen().then(() => {
        if (!here || film().revision !== revision) return;
        player.sound(film().mistakes.length ? "" : `/api/sound.wav?revision=${revision}`);
        void made.read();
        void whose.read();
        // Looking through all of the film takes longest: only when nothing has changed for a while.
        setTimeout(() => {
          if (here && film().revision === revision) void told.read();
        }, QUIET);
      });
    }

    /** The picture of where one is lies there, or does not come. */
    const seen = () =>
      new Promise((done) => {
        if (player.shows() || film().exposures.length === 0) done(null);
        else {
          picture.addEventListener("load", done, { once: true });
          setTimeout(done, PATIENCE);
        }
      });

    player.frame = Number(query.get("frame") ?? 0) || 0;
    changed();
    const worked = (/** @type {Event} */ event) => made.worked(/** @type {CustomEvent} */ (event).detail);
    desk.addEventListener("work", worked);
    return {
      keys: [
        { key: "Space", name: "play or stop", does: toggle },
        { key: "ArrowLeft", name: "one exposure back", does: () => player.step(-1) },
        { key: "ArrowRight", name: "one exposure on", does: () => player.step(1) },
        { key: ",", name: "one frame back", does: () => player.nudge(-1) },
        { key: ".", name: "one frame on", does: () => player.nudge(1) },
        { key: "PageUp", name: "to the scene before", does: () => jump(-1) },
        { key: "PageDown", name: "to the next scene", does: () => jump(1) },
        { key: "Home", name: "to the beginning", does: () => player.seek(0) },
        { key: "End", name: "to the end", does: () => player.seek(film().frames - 1) },
        { key: "L", name: "let this scene go round", does: goRound },
        { key: "W", name: "to the next thing to look at", does: () => told.next(player.frame) },
        { key: "M", name: "make what is ticked", does: () => void made.make() },
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
