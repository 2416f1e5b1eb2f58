/** Plays exposures in time with the sound: the sound's clock is the master, pictures follow it. */

import { at } from "./time.js";

/**
 * @typedef {object} Playing
 * @property {readonly import("./desk.js").Exposure[]} exposures
 * @property {number} frames
 * @property {number} rate
 */

export class Player extends EventTarget {
  /**
   * @param {HTMLImageElement} picture Where the film is seen.
   * @param {() => Playing} film
   * @param {number} width Pixels of the pictures that are fetched.
   */
  constructor(picture, film, width) {
    super();
    this.picture = picture;
    this.film = film;
    this.width = width;
    this.frame = 0;
    this.playing = false;
    /** @type {[number, number] | null} First frame and the first after it, while that goes round. */
    this.loop = null;
    this.audio = new Audio();
    this.audio.preload = "auto";
    /** @type {Map<string, HTMLImageElement>} */
    this._kept = new Map();
    this._wanted = "";
    this._seen = -1;
    this._from = 0;
    this._begun = 0;
    this._ticking = 0;
  }

  /** @param {string} url Of the whole film's sound; empty for none. */
  sound(url) {
    const playing = this.playing;
    if (playing) this.stop();
    if (url) this.audio.src = url;
    else this.audio.removeAttribute("src");
    if (playing) void this.play();
  }

  /**
   * Go to a frame.
   *
   * @param {number} frame
   */
  seek(frame) {
    const { frames, rate } = this.film();
    this.frame = Math.max(0, Math.min(frames - 1, Math.floor(frame)));
    this._from = this.frame;
    this._seen = -1;
    this._begun = performance.now();
    if (this.audio.src) this.audio.currentTime = this.frame / rate;
    this._show();
  }

  async play() {
    const { frames, rate } = this.film();
    if (this.frame >= frames - 1) this.seek(this.loop ? this.loop[0] : 0);
    this.playing = true;
    this._from = this.frame;
    if (this.audio.src) {
      this.audio.currentTime = this.frame / rate;
      try {
        await this.audio.play();
      } catch {
        /* no sound, or nobody has touched the page yet: the pictures go by themselves */
      }
    }
    this._begun = performance.now();
    this._ticking = requestAnimationFrame(() => this._tick());
    this._tell();
  }

  stop() {
    this.playing = false;
    this.audio.pause();
    cancelAnimationFrame(this._ticking);
    this._tell();
  }

  /** @param {number} by Exposures, forth or back. */
  step(by) {
    if (this.playing) this.stop();
    const { exposures } = this.film();
    const to = Math.max(0, Math.min(exposures.length - 1, at(exposures, this.frame) + by));
    this.seek(exposures[to]?.frame ?? 0);
  }

  /** @param {number} by Frames, forth or back. */
  nudge(by) {
    if (this.playing) this.stop();
    this.seek(this.frame + by);
  }

  /** Whether the picture that is wanted lies there. */
  shows() {
    const image = this._kept.get(this._wanted);
    return Boolean(image?.complete && image.naturalWidth);
  }

  _tick() {
    if (!this.playing) return;
    const { frames, rate } = this.film();
    const heard = this.audio.src && !this.audio.paused && !this.audio.ended;
    const seconds = heard ? this.audio.currentTime : this._from / rate + (performance.now() - this._begun) / 1000;
    const frame = Math.floor(seconds * rate + 1e-6);
    const [first, end] = this.loop ?? [0, frames];
    if (frame >= end) {
      if (this.loop) {
        this.seek(first);
        if (this.audio.src && this.audio.paused) void this.audio.play().catch(() => {});
      } else {
        this.frame = frames - 1;
        this._show();
        this.stop();
        return;
      }
    } else if (frame !== this.frame) {
      this.frame = frame;
      this._show();
    }
    this._ticking = requestAnimationFrame(() => this._tick());
  }

  /** Show the frame now if its picture is here, and fetch what comes next. */
  _show() {
    const { exposures } = this.film();
    const here = at(exposures, this.frame);
    const one = exposures[here];
    if (one) {
      const image = this._fetch(one.key);
      this._wanted = one.key;
      const lay = () => {
        this._seen = here;
        this.picture.src = image.src;
      };
      if (image.complete && image.naturalWidth) lay();
      else
        image.addEventListener(
          "load",
          () => {
            // Late while playing: better than the picture before it, unless a later one is seen already.
            const late = this.playing && here > this._seen && here <= at(this.film().exposures, this.frame);
            if (this._wanted === one.key || late) lay();
          },
          { once: true },
        );
      for (let ahead = 1; ahead <= 24 && this.playing; ahead++) {
        const next = exposures[here + ahead];
        if (next) this._fetch(next.key);
      }
    }
    this._tell();
  }

  /**
   * @param {string} key
   * @returns {HTMLImageElement}
   */
  _fetch(key) {
    let image = this._kept.get(key);
    if (!image) {
      image = new Image();
      image.src = `/api/frames/${key}.jpg?width=${this.width}`;
      this._kept.set(key, image);
      // The first in is the first out: enough stays for a scene that goes round.
      if (this._kept.size > 600) this._kept.delete(/** @type {string} */ (this._kept.keys().next().value));
    }
    return image;
  }

  _tell() {
    this.dispatchEvent(new Event("frame"));
  }
}
