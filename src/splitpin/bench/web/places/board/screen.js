/** The board played: each card for its time, with all that is heard. */

import { h } from "../../core/dom.js";
import { Player } from "../../core/player.js";
import { at, clock, rateOf } from "../../core/time.js";

/** Plays cards: what is fetched for each is the card as it is seen in the film. */
class Cards extends Player {
  /**
   * @override
   * @param {string} key
   */
  _fetch(key) {
    let image = this._kept.get(key);
    if (!image) {
      image = new Image();
      const [scene = "", panel = "", seen = ""] = key.split("\n");
      image.src = `/api/scenes/${encodeURIComponent(scene)}/panels/${encodeURIComponent(panel)}/card.jpg?width=${this.width}&seen=${encodeURIComponent(seen)}`;
      this._kept.set(key, image);
    }
    return image;
  }
}

/**
 * @param {import("../../main.js").Bench} bench
 * @param {(scene: string, panel: string) => void} reached Told which card is seen.
 */
export function screen(bench, reached) {
  const picture = /** @type {HTMLImageElement} */ (h("img", { alt: "", draggable: "false" }));
  const head = h("p", { class: "typed", "aria-live": "off" });
  const words = h("p", { class: "board-caption" });
  const element = h("div", { class: "board-screen paper", hidden: true }, picture, h("div", {}, head, words, h("button", { onclick: () => player.stop() }, "Stop")));
  /** @type {(import("../../core/desk.js").Exposure & {said: any})[]} */
  let cards = [];
  let frames = 1;
  let last = "";
  const rate = () => rateOf(bench.desk.film?.film.rate ?? "24");
  const player = new Cards(picture, () => ({ exposures: cards, frames, rate: rate() }), 1280);
  player.addEventListener("frame", () => {
    const one = cards[at(cards, player.frame)];
    element.hidden = !player.playing;
    element.dispatchEvent(new Event("playing"));
    if (!one || !player.playing) return;
    head.textContent = `${clock(player.frame, rate())}  ${one.scene}, ${one.panel}`;
    words.textContent = [one.said?.action, one.said?.says && `“${one.said.says}”`, one.said?.sound].filter(Boolean).join("  ·  ");
    if (last !== one.key) reached(one.scene, one.panel);
    last = one.key;
  });

  /** @param {string | null} key */
  const find = (key) => cards.find((one) => `${one.scene}/${one.panel}` === key);

  return {
    element,
    playing: () => player.playing,
    /** @param {import("./rows.js").Told} told */
    changed(told) {
      const documents = bench.desk.film?.documents.scenes ?? {};
      let frame = 0;
      cards = told.scenes.flatMap((scene) =>
        scene.panels.map((panel, n) => {
          const said = documents[scene.name]?.panels[n];
          const seen = panel.seen || JSON.stringify([said?.action, said?.says, said?.sound, said?.speaker]);
          const one = { frame, frames: panel.frames, scene: scene.name, panel: panel.name, kind: /** @type {const} */ ("board"), key: `${scene.name}\n${panel.name}\n${seen}`, said };
          frame += panel.frames;
          return one;
        }),
      );
      frames = told.frames;
      player.sound(`/api/sound.wav?revision=${told.revision}`);
    },
    /** @param {string | null} key The card to begin at. */
    toggle(key) {
      if (player.playing) return player.stop();
      player.loop = null;
      player.frame = find(key)?.frame ?? 0;
      element.hidden = false;
      void player.play();
    },
    /** @param {string | null} key See and hear this card alone. */
    only(key) {
      const one = find(key);
      if (player.playing) player.stop();
      if (!one) return;
      player.loop = [one.frame, one.frame + one.frames];
      player.frame = one.frame;
      element.hidden = false;
      void player.play();
    },
    stop: () => player.playing && player.stop(),
    leave() {
      player.stop();
      player.sound("");
    },
  };
}
