/** What stands on the table: a scene's rows and moves as the server tells them, and what the hand tries. */

import { ask, Refused } from "../../core/link.js";
import { at } from "../../core/time.js";

/** @typedef {import("./draw.js").Placed} Placed */
/** @typedef {import("../../core/plane.js").Look} Look */
/** @typedef {Record<string, Record<string, number | string | boolean>>} Poses */

/**
 * @typedef {object} Row
 * @property {number} frame
 * @property {number} frames
 * @property {string} panel
 * @property {Look} view
 * @property {Placed[]} placed
 * @property {Poses} poses
 * @property {string} kind
 * @property {string} key
 */

/**
 * @typedef {object} Laid
 * @property {number} move Its place in the scene's list.
 * @property {string} kind
 * @property {string | null} name
 * @property {string} who
 * @property {Record<string, any>} keys
 * @property {number} frame
 * @property {number} frames
 * @property {number} on
 * @property {[number, number, number][]} ticks Frame, x, y.
 */

/** @typedef {{who: string, piece: string}} Chosen */
/** @typedef {"pull" | "carry" | "turn" | "shift" | "view"} Hand */
/** @typedef {{who: string, piece: string, how: string, at: [number, number], to: [number, number], snap: boolean}} Grip */

/** Events: `look` (draw it anew), `here` (another exposure or other rows), `chosen` (another piece or move). */
export class Stand extends EventTarget {
  /**
   * @param {import("../../main.js").Bench} bench
   * @param {string} scene
   */
  constructor(bench, scene) {
    super();
    this.bench = bench;
    this.scene = scene;
    /** @type {Row[]} */
    this.rows = [];
    /** @type {Laid[]} */
    this.moves = [];
    /** @type {{name: string, frame: number, frames: number}[]} */
    this.panels = [];
    this.stage = { width: 16, height: 9, field_mm: 400 };
    this.paper = "#f2ead8";
    this.index = 0;
    /** @type {Chosen | null} */
    this.chosen = null;
    /** @type {number | null} */
    this.move = null;
    /** @type {Hand} */
    this.hand = "pull";
    /** @type {"on" | "here" | "opening"} */
    this.hold = "on";
    this.snap = false;
    this.ghosts = 1;
    this.chart = false;
    this.margins = false;
    this.laying = false;
    /** @type {{poses: Poses, placed: Placed[], view: Look} | null} */
    this.tried = null;
    /** @type {Poses} */
    this.unwritten = {};
    this.holding = false;
    /** @type {Grip | null} */
    this._next = null;
    /** @type {Promise<void> | null} */
    this._trying = null;
    /** @type {Promise<unknown>} */
    this._writing = Promise.resolve();
    this._loads = 0;
  }

  /** Read the rows anew. */
  async load() {
    const mine = ++this._loads;
    const name = encodeURIComponent(this.scene);
    const [sheet, moves] = await Promise.all([ask("GET", `scenes/${name}/sheet`), ask("GET", `scenes/${name}/moves`)]);
    if (mine !== this._loads) return;
    const frame = this.row?.frame;
    this.rows = sheet.rows;
    this.panels = sheet.panels;
    this.stage = sheet.stage;
    this.paper = sheet.paper;
    this.moves = moves.moves;
    if (frame !== undefined) this.index = Math.max(0, at(this.rows, frame));
    if (this.move !== null && !this.moves.some((one) => one.move === this.move)) this.move = null;
    if (this.chosen && !this.row?.poses[this.chosen.who]) this.chosen = null;
    if (!this.holding) {
      this.unwritten = {};
      this.tried = null;
    }
    this.tell("here");
  }

  /** @returns {Row | undefined} */
  get row() {
    return this.rows[this.index];
  }

  /** @returns {Placed[]} As it lies, or as the hand tries it. */
  get placed() {
    return this.tried?.placed ?? this.row?.placed ?? [];
  }

  /** @returns {Look} */
  get view() {
    return this.tried?.view ?? this.row?.view ?? { x: 0, y: 0, width: this.stage.field_mm, angle: 0 };
  }

  get shape() {
    return this.stage.height / this.stage.width;
  }

  /** The scene as its document says it. */
  get says() {
    return this.bench.desk.film?.documents.scenes[this.scene];
  }

  /**
   * The pieces of a member as its character says them; none for a bare cut-out.
   *
   * @param {string} who
   * @returns {Record<string, any>}
   */
  piecesOf(who) {
    const character = this.says?.cast[who]?.character;
    return this.bench.desk.film?.documents.characters[character]?.pieces ?? { piece: { on: null, set: {} } };
  }

  /**
   * The piece that stands for a whole member.
   *
   * @param {string} who
   */
  rootOf(who) {
    return Object.entries(this.piecesOf(who)).find(([, piece]) => !piece.on)?.[0] ?? "piece";
  }

  /**
   * The piece that is chosen, where it lies.
   *
   * @returns {Placed | undefined}
   */
  get lying() {
    const chosen = this.chosen;
    return chosen ? this.placed.find((p) => p.who === chosen.who && p.piece === chosen.piece) : undefined;
  }

  /** @returns {Laid | undefined} The move that is chosen. */
  get shown() {
    return this.moves.find((one) => one.move === this.move);
  }

  /** @param {number} index Of a row. */
  go(index) {
    const to = Math.max(0, Math.min(this.rows.length - 1, index));
    if (to === this.index) return;
    this.index = to;
    this.tried = null;
    this.unwritten = {};
    this.bench.note({ frame: this.row?.frame ?? 0 });
    this.tell("here");
  }

  /** @param {Chosen | null} chosen */
  choose(chosen) {
    this.chosen = chosen;
    this.tell("chosen");
  }

  /** @param {number | null} move */
  show(move) {
    this.move = move;
    const shown = this.shown;
    if (shown && shown.who !== "view" && this.chosen?.who !== shown.who)
      this.chosen = { who: shown.who, piece: shown.keys.piece ?? this.rootOf(shown.who) };
    this.tell("chosen");
  }

  /**
   * Try a hand: of many at once only the latest is asked for.
   *
   * @param {Grip} grip
   */
  pull(grip) {
    this._next = grip;
    this._trying ??= this._try();
  }

  async _try() {
    while (this._next) {
      const hand = this._next;
      this._next = null;
      try {
        const told = await ask("POST", `scenes/${encodeURIComponent(this.scene)}/try`, { frame: this.row?.frame ?? 0, poses: this.unwritten, hand });
        if (this.holding) {
          this.tried = told;
          this.tell("look");
        }
      } catch (problem) {
        if (!(problem instanceof Refused)) throw problem;
        this._next = null;
      }
    }
    this._trying = null;
  }

  /**
   * Show a view that is tried; it needs no pieces placed anew.
   *
   * @param {Look} view
   */
  frameIt(view) {
    this.tried = { poses: { view: { ...view } }, placed: this.placed, view };
    this.tell("look");
  }

  /** Wait until what the hand tried last is known; then it lets go. */
  async letGo() {
    await this._trying;
    this.holding = false;
    return this.tried;
  }

  /** Forget what was tried. */
  drop() {
    this.holding = false;
    this._next = null;
    this.tried = null;
    this.tell("look");
  }

  /**
   * Write a pose; one after the other.
   *
   * @param {string} who
   * @param {Record<string, number | string | boolean>} values
   * @param {string} label
   */
  pose(who, values, label) {
    const frame = this.row?.frame ?? 0;
    this.unwritten = { ...this.unwritten, [who]: { ...this.unwritten[who], ...values } };
    return this._write(async () => {
      const told = await this.bench.desk.do("POST", `scenes/${encodeURIComponent(this.scene)}/pose`, { frame, who, values, hold: this.hold, label });
      if (this.hold === "on" && told.hold === "here")
        this.bench.say("A move goes on here, so this holds for this exposure alone.");
    });
  }

  /**
   * Ask for something that changes this scene.
   *
   * @param {string} method
   * @param {string} path After the scene's own.
   * @param {unknown} body
   * @returns {Promise<any>} null when it was refused.
   */
  async change(method, path, body) {
    let told = null;
    await this._write(async () => {
      told = await this.bench.desk.do(method, `scenes/${encodeURIComponent(this.scene)}/${path}`, body);
    });
    return told;
  }

  /**
   * Change values in the scene's document.
   *
   * @param {string} label
   * @param {{path: (string | number)[], value: unknown, insert?: boolean}[]} edits
   */
  edit(label, edits) {
    const document = `scenes/${this.scene}.toml`;
    return this.change("POST", "change", { label, edits: edits.map((one) => ({ document, ...one })) });
  }

  /** @param {() => Promise<void>} action */
  _write(action) {
    const done = this._writing.then(() =>
      this.bench.attempt(async () => {
        try {
          await action();
        } catch (problem) {
          this.unwritten = {};
          this.drop();
          throw problem;
        }
      }),
    );
    this._writing = done;
    return done;
  }

  /** Wait until everything is written. */
  async written() {
    await this._writing;
  }

  /** @param {"look" | "here" | "chosen" | "ways"} what */
  tell(what) {
    this.dispatchEvent(new Event(what));
  }
}
