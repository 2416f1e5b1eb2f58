/** What stands on the table: a scene's rows and moves as the server tells them, and what the hand tries. */

import { ask, Refused } from "../../core/link.js";
import { at } from "../../core/time.js";
import { Rows } from "./rows.js";
import { Writing } from "./writing.js";

/** @typedef {import("./draw.js").Placed} Placed */
/** @typedef {import("../../core/plane.js").Look} Look */
/** @typedef {import("./types.js").Poses} Poses */
/** @typedef {import("./types.js").Row} Row */
/** @typedef {import("./types.js").Laid} Laid */
/** @typedef {import("./types.js").Chosen} Chosen */
/** @typedef {import("./types.js").Hand} Hand */
/** @typedef {import("./types.js").Grip} Grip */

/** Events: `look` (draw it anew), `here` (another exposure or other rows), `chosen` (another piece or move), `step` (it plays). */
export class Stand extends Writing {
  /**
   * @param {import("../../main.js").Bench} bench
   * @param {string} scene
   * @param {number} begin A frame of the exposure at which one begins.
   */
  constructor(bench, scene, begin) {
    super(bench, scene);
    this.begin = begin;
    this._rows = new Rows(scene, () => this.tell("here"));
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
    this._loads = 0;
    this._revision = -1;
  }

  /** Read the rows anew. */
  async load() {
    const mine = ++this._loads;
    const name = encodeURIComponent(this.scene);
    const [taken, moves] = await Promise.all([this._rows.load(this.row?.frame ?? this.begin), ask("GET", `scenes/${name}/moves`)]);
    if (mine !== this._loads) return;
    // One may have gone on meanwhile.
    const frame = this.row?.frame ?? this.begin;
    const told = taken();
    this._revision = told.revision;
    this.panels = told.panels;
    this.stage = told.stage;
    this.paper = told.paper;
    this.moves = moves.moves;
    this.index = Math.max(0, at(this.rows, frame));
    void this._rows.need(this.index);
    if (this.move !== null && !this.moves.some((one) => one.move === this.move)) this.move = null;
    if (this.chosen && !this.row?.poses[this.chosen.who]) this.chosen = null;
    if (!this.holding) {
      this.unwritten = {};
      this.tried = null;
    }
    this.tell("here");
  }

  /** Nobody looks any more: what is still on its way is not waited for. */
  leave() {
    this._loads++;
    this.drop();
  }

  /** All exposures, in brief. */
  get rows() {
    return this._rows.all;
  }

  /** Whether the rows are those of the film as the page knows it: else its pictures may be others. */
  get known() {
    return this._revision === this.bench.desk.film?.revision;
  }

  /** @returns {Row | undefined} */
  get row() {
    return this._rows.at(this.index);
  }

  /**
   * Where the pieces lie on another exposure; nothing while that is not known.
   *
   * @param {number} index
   */
  placedOn(index) {
    return this._rows.near(index)?.placed ?? [];
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
    this.arrive();
  }

  /** One stands on another exposure now. */
  arrive() {
    this.bench.note({ frame: this.row?.frame ?? 0 });
    void this._rows.need(this.index);
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
    return this.write(async () => {
      const told = await this.bench.desk.do("POST", `scenes/${encodeURIComponent(this.scene)}/pose`, { frame, who, values, hold: this.hold, label });
      if (this.hold === "on" && told.hold === "here")
        this.bench.say("A move goes on here, so this holds for this exposure alone.");
    });
  }

  /** What was tried came to nothing. @override */
  refused() {
    this.unwritten = {};
    this.drop();
  }

  /** @param {"look" | "here" | "chosen" | "step"} what */
  tell(what) {
    this.dispatchEvent(new Event(what));
  }
}
