/** What the page knows of the film, and how it asks for changes. Nothing is computed here that the server knows. */

import { ask, listen, Refused } from "./link.js";

/**
 * @typedef {object} Exposure
 * @property {number} frame
 * @property {number} frames
 * @property {string} scene
 * @property {string} panel
 * @property {"shot" | "drawn" | "board" | "card"} kind
 * @property {string} key
 */

/**
 * @typedef {object} Film
 * @property {number} revision
 * @property {string} folder
 * @property {string} name
 * @property {any} film The film's own document.
 * @property {{scenes: Record<string, any>, characters: Record<string, any>, pictures: Record<string, any>,
 *   sounds: Record<string, any>, cutouts: Record<string, any>}} documents
 * @property {Exposure[]} exposures
 * @property {number} frames
 * @property {import("./link.js").Mistake[]} mistakes
 * @property {{undo: string | null, redo: string | null, steps: number}} history
 */

/**
 * @typedef {object} OneEdit
 * @property {string} document
 * @property {(string | number)[]} path
 * @property {unknown} value null takes it away.
 * @property {boolean} [insert]
 */

/** The film on the desk, told to whoever asks. Events: `film` (it changed), `work`, `line`. */
export class Desk extends EventTarget {
  constructor() {
    super();
    /** @type {Film | null} */
    this.film = null;
    /** @type {Map<number, any>} */
    this.work = new Map();
    this.line = true;
    /** @type {Promise<void> | null} */
    this._reading = null;
    this._again = false;
  }

  /** Begin: read the film, hear what happens. */
  async begin() {
    await this.refresh();
    listen(
      (event) => this._heard(event),
      (there) => {
        const back = there && !this.line;
        this.line = there;
        this._tell("line");
        if (back) void this.refresh();
      },
    );
  }

  /** Read the film anew; many calls at once read it once or twice. */
  async refresh() {
    if (this._reading) {
      this._again = true;
      return this._reading;
    }
    this._reading = (async () => {
      do {
        this._again = false;
        try {
          this.film = await ask("GET", "film");
        } catch (problem) {
          if (!(problem instanceof Refused)) throw problem;
          this.film = null;
        }
      } while (this._again);
      this._reading = null;
      this._tell("film");
    })();
    return this._reading;
  }

  /**
   * One step of work: all of the edits or none.
   *
   * @param {string} label What it is, in words: it is what Undo will say.
   * @param {OneEdit[]} edits
   * @param {{join?: boolean}} [how] `join` goes on with the step before, as dragging does.
   */
  async edit(label, edits, { join = false } = {}) {
    await ask("POST", "edits", { label, edits, join });
    await this.refresh();
  }

  /**
   * Ask for something, and read the film anew afterwards.
   *
   * @param {string} method
   * @param {string} path
   * @param {unknown} [body]
   */
  async do(method, path, body) {
    const told = await ask(method, path, body);
    await this.refresh();
    return told;
  }

  async undo() {
    return this.do("POST", "undo");
  }

  async redo() {
    return this.do("POST", "redo");
  }

  /** @param {any} event */
  _heard(event) {
    if (event.kind === "work") {
      this.work.set(event.work.number, event.work);
      this._tell("work", event.work);
    } else if (event.kind === "everything") void this.refresh();
    else if ((event.kind === "film" || event.kind === "hello") && event.revision !== this.film?.revision)
      void this.refresh();
  }

  /**
   * @param {string} name
   * @param {unknown} [detail]
   */
  _tell(name, detail) {
    this.dispatchEvent(new CustomEvent(name, { detail }));
  }
}
