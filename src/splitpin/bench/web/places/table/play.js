/** Play the scene from where one stands, with its sound. */

import { h } from "../../core/dom.js";
import { Player } from "../../core/player.js";
import { at, rateOf } from "../../core/time.js";

/** @typedef {import("./stand.js").Stand} Stand */

/** @param {Stand} stand */
export function play(stand) {
  const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false" }));
  const screen = h("div", { class: "table-play", hidden: true }, picture);
  const button = h("button", { title: "from here, with the sound (P)", onclick: toggle }, "Play");
  const film = () => /** @type {import("../../core/desk.js").Film} */ (stand.bench.desk.film);
  const player = new Player(picture, () => ({ exposures: film().exposures, frames: film().frames, rate: rateOf(film().film.rate) }), 1280);
  let sounding = 0;

  /** @returns {[number, number]} The scene's first frame in the film, and the first after it. */
  function span() {
    const own = film().exposures.filter((one) => one.scene === stand.scene);
    const last = own.at(-1);
    return [own[0]?.frame ?? 0, last ? last.frame + last.frames : 0];
  }

  function toggle() {
    if (player.playing) {
      end();
      return;
    }
    if (sounding !== film().revision) {
      player.sound(film().mistakes.length ? "" : `/api/sound.wav?revision=${film().revision}`);
      sounding = film().revision;
    }
    const last = stand.index + 1 >= stand.rows.length;
    player.seek(span()[0] + (last ? 0 : (stand.row?.frame ?? 0)));
    button.textContent = "Stop";
    void player.play().then(() => {
      screen.hidden = !player.playing;
    });
  }

  function end() {
    if (player.playing) player.stop();
    if (screen.hidden) return;
    screen.hidden = true;
    button.textContent = "Play";
    follow();
    stand.arrive();
  }

  /** Where it plays is where one stands. */
  function follow() {
    stand.index = Math.max(0, at(stand.rows, Math.min(player.frame, span()[1] - 1) - span()[0]));
  }

  player.addEventListener("frame", () => {
    if (screen.hidden) return;
    if (!player.playing || player.frame >= span()[1]) end();
    else {
      follow();
      stand.tell("step");
    }
  });
  return {
    screen,
    button,
    toggle,
    leave() {
      screen.hidden = true;
      player.stop();
      player.sound("");
    },
  };
}
