/** The table top: the hand on what lies there. */

import { corners, nearest, widened } from "../../core/plane.js";
import { easel } from "../../elements/easel.js";
import { seen } from "./seen.js";

/** @typedef {import("./stand.js").Stand} Stand */

const FIRM = 4;
/** Pixels within which a hand takes hold of something small; fingers are blunter. */
const NEAR = matchMedia("(pointer: coarse)").matches ? 26 : 14;

/**
 * @param {Stand} stand
 * @param {(from: [number, number], to: [number, number], tried: import("./stand.js").Stand["tried"], how: string) => void} laid
 *   Told when a move is laid by hand.
 */
export function top(stand, laid) {
  /**
   * @typedef {object} Held
   * @property {"piece" | "tick" | "view" | "corner"} what
   * @property {[number, number]} from
   * @property {boolean} moved
   * @property {string} how
   * @property {number} frame Of a tick.
   * @property {import("../../core/plane.js").Look} view
   */
  /** @type {Held | null} */
  let held = null;
  /** @type {[number, number]} */
  let last = [0, 0];
  const { size, draw, under, knob } = seen(
    stand,
    () => board.redraw(),
    () => (held?.what === "tick" && held.moved ? { frame: held.frame, at: last } : null),
  );
  const spot = (/** @type {{x: number, y: number}} */ touch) => {
    const { width, height } = size();
    return /** @type {[number, number]} */ ([touch.x - width / 2, height / 2 - touch.y]);
  };

  /** @param {[number, number]} at @param {number} px @returns {Held | null} */
  function take(at, px) {
    const near = NEAR * px;
    const view = stand.view;
    const basic = { from: at, moved: false, how: "", frame: 0, view };
    if (stand.hand === "view")
      return nearest(corners(view, stand.shape), at, near) >= 0 ? { ...basic, what: "corner" } : { ...basic, what: "view" };
    const lying = stand.lying;
    if (lying && nearest([knob(lying, px)], at, near) === 0) return { ...basic, what: "piece", how: "turn" };
    const move = stand.shown;
    if (move && !stand.laying) {
      const free = move.ticks.filter(([frame]) => frame >= move.frame);
      const n = nearest(free.map(([, x, y]) => /** @type {[number, number]} */ ([x, y])), at, NEAR * 0.65 * px);
      const tick = free[n];
      if (tick) return { ...basic, what: "tick", frame: tick[0] };
    }
    const one = under(at);
    if (!one) {
      stand.choose(null);
      return null;
    }
    const carried = stand.hand === "carry" ? { who: one.who, piece: stand.rootOf(one.who) } : { who: one.who, piece: one.piece };
    if (stand.chosen?.who !== carried.who || stand.chosen.piece !== carried.piece) stand.choose(carried);
    const root = carried.piece === stand.rootOf(one.who);
    const pulled = root ? "carry" : stand.laying ? "turn" : "follow";
    return { ...basic, what: "piece", how: stand.hand === "pull" ? pulled : stand.hand };
  }

  /** @param {[number, number]} to */
  function drag(to) {
    if (!held) return;
    last = to;
    if (held.what === "piece" && stand.chosen)
      stand.pull({ ...stand.chosen, how: held.how, at: held.from, to, snap: stand.snap });
    else if (held.what === "view")
      stand.frameIt({ ...held.view, x: held.view.x + to[0] - held.from[0], y: held.view.y + to[1] - held.from[1] });
    else if (held.what === "corner") stand.frameIt(widened(held.view, held.from, to));
    else board.redraw();
  }

  async function letGo() {
    const was = held;
    held = null;
    if (!was?.moved) {
      stand.holding = false;
      board.redraw();
      return;
    }
    if (was.what === "tick") {
      await stand.change("POST", `moves/${stand.move}/tick`, { frame: was.frame, to: last });
      board.redraw();
      return;
    }
    const tried = await stand.letGo();
    if (!tried) return;
    if (was.what !== "piece") {
      const { x, y, width } = tried.view;
      void stand.pose("view", was.what === "view" ? { x: fine(x), y: fine(y) } : { width: fine(width) }, "frame it otherwise");
    } else if (stand.chosen) {
      if (stand.laying) laid(was.from, last, tried, was.how);
      else void stand.pose(stand.chosen.who, tried.poses[stand.chosen.who] ?? {}, `${was.how === "turn" ? "turn" : "lay"} ${stand.chosen.who} by hand`);
    }
  }

  const board = easel(
    { size, draw, name: "the table; arrows go from exposure to exposure, N chooses a piece, Shift and arrows move it" },
    {
      down(touch) {
        held = take(spot(touch), touch.unit);
        stand.holding = held !== null;
        board.redraw();
      },
      move(touch) {
        const to = spot(touch);
        if (!held) return;
        held.moved ||= Math.hypot(to[0] - held.from[0], to[1] - held.from[1]) > FIRM * touch.unit;
        if (held.moved) drag(to);
      },
      up: () => void letGo(),
      over(touch) {
        board.canvas.style.cursor = cursor(spot(touch), touch.unit);
      },
      lost() {
        held = null;
        stand.drop();
      },
    },
  );

  /** @param {[number, number]} at @param {number} px */
  function cursor(at, px) {
    if (stand.hand === "view") return nearest(corners(stand.view, stand.shape), at, NEAR * px) >= 0 ? "nwse-resize" : "move";
    if (stand.lying && nearest([knob(stand.lying, px)], at, NEAR * px) === 0) return "alias";
    return under(at) ? (stand.laying ? "crosshair" : "grab") : "";
  }

  for (const what of ["look", "here", "chosen"]) stand.addEventListener(what, board.redraw);
  return board;
}


/** @param {number} mm */
function fine(mm) {
  return Math.round(mm * 100) / 100;
}
