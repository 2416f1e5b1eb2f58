/** The table top: what lies there, seen from above, and the hand on it. */

import { back, corners, nearest, widened } from "../../core/plane.js";
import { easel } from "../../elements/easel.js";
import { Cuts } from "./cuts.js";
import * as paint from "./draw.js";
import { Layers, same } from "./layers.js";

/** @typedef {import("./stand.js").Stand} Stand */
/** @typedef {import("./stand.js").Row} Row */
/** @typedef {import("./draw.js").Placed} Placed */

const AROUND = 1.14;
const STEM = 52;
const FIRM = 4;
const NEAR = 14;

/**
 * @param {Stand} stand
 * @param {(from: [number, number], to: [number, number], tried: import("./stand.js").Stand["tried"], how: string) => void} laid
 *   Told when a move is laid by hand.
 */
export function top(stand, laid) {
  const layers = new Layers();
  let came = 0;
  const cuts = new Cuts(() => {
    came++;
    board.redraw();
  });
  /** @type {Map<string, HTMLImageElement>} */
  const pictures = new Map();
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

  const size = () => ({ width: stand.stage.field_mm * AROUND, height: stand.stage.field_mm * AROUND * stand.shape });
  const version = (/** @type {string} */ name) => {
    const cut = stand.bench.desk.film?.documents.cutouts[name];
    return cut ? `${cut.width}x${cut.height}x${cut.width_mm}` : "";
  };
  const spot = (/** @type {{x: number, y: number}} */ touch) => {
    const { width, height } = size();
    return /** @type {[number, number]} */ ([touch.x - width / 2, height / 2 - touch.y]);
  };

  /** @param {[number, number]} at @returns {Placed | undefined} The topmost piece with paper there. */
  function under(at) {
    return [...stand.placed].reverse().find((one) => {
      const cut = cuts.get(one.cutout, version(one.cutout));
      return cut && cuts.paper(cut, ...back(one.matrix, at));
    });
  }

  /** @param {Placed} one @param {number} px @returns {[number, number]} Where a piece is held to be turned. */
  function knob(one, px) {
    const t = ((one.angle + 90) * Math.PI) / 180;
    return [one.pin[0] + Math.cos(t) * STEM * px, one.pin[1] + Math.sin(t) * STEM * px];
  }

  /** @returns {Row[]} */
  const around = () => stand.rows.slice(Math.max(0, stand.index - stand.ghosts), stand.index + stand.ghosts + 1);

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function draw(pen, view) {
    const { width, height } = size();
    const px = 1 / view.scale;
    const fine = view.scale * (devicePixelRatio || 1);
    const row = stand.row;
    pen.save();
    pen.translate(width / 2, height / 2);
    pen.scale(1, -1);
    pen.fillStyle = stand.paper;
    pen.fillRect(-width / 2, -height / 2, width, height);
    lie(pen, fine);
    const image = row && !stand.tried && row.kind === "drawn" ? truth(row.key) : null;
    if (image && row) paint.picture(pen, image, row.view, stand.shape);
    if (stand.ghosts) ghosts(pen, fine);
    paint.veil(pen, stand.view, stand.shape);
    pen.strokeStyle = "rgb(36 39 44 / 0.7)";
    pen.lineWidth = px;
    pen.stroke(paint.outline(stand.view, stand.shape));
    if (stand.chart) paint.chart(pen, stand.stage, px);
    if (stand.margins) paint.margins(pen, stand.view, stand.shape, px);
    if (stand.hand === "view") handles(pen, px);
    way(pen, px);
    if (stand.hand !== "view") chosen(pen, px);
    pen.restore();
  }

  /** @param {string} key */
  function truth(key) {
    let image = pictures.get(key);
    if (!image) {
      image = new Image();
      image.onload = () => board.redraw();
      image.src = `/api/frames/${key}.jpg?width=1440`;
      pictures.set(key, image);
      if (pictures.size > 120) pictures.delete(/** @type {string} */ (pictures.keys().next().value));
    }
    return image.complete && image.naturalWidth ? image : null;
  }

  /** All pieces; while a hand moves some, those below and above are drawn once. @param {CanvasRenderingContext2D} pen @param {number} fine */
  function lie(pen, fine) {
    const now = stand.placed;
    const [below, above] = stand.tried ? same(stand.row?.placed ?? [], now, told) : [now.length, 0];
    const part = (/** @type {string} */ name, /** @type {Placed[]} */ placed) => {
      if (placed.length) layers.lay(pen, name, placed.map(told).join(";") + came, (own) => paint.pieces(own, placed, cuts, fine, version));
    };
    part("below", now.slice(0, below));
    paint.pieces(pen, now.slice(below, now.length - above), cuts, fine, version);
    part("above", now.slice(now.length - above));
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} fine */
  function ghosts(pen, fine) {
    const here = new Set((stand.row?.placed ?? []).map(told));
    for (const row of around()) {
      const off = stand.rows.indexOf(row) - stand.index;
      const other = off ? row.placed.filter((p) => !here.has(told(p))) : [];
      if (!other.length) continue;
      const draw = (/** @type {CanvasRenderingContext2D} */ own) => paint.ghost(own, other, cuts, fine, version, off < 0 ? paint.BLUE : paint.RED);
      layers.lay(pen, `ghost ${off}`, other.map(told).join(";") + came, draw, 0.34 / Math.abs(off) ** 0.6);
    }
  }

  /** The way of the move that is chosen. @param {CanvasRenderingContext2D} pen @param {number} px */
  function way(pen, px) {
    const move = stand.shown;
    if (!move || move.ticks.length < 2) return;
    const spots = move.ticks.map(([, x, y]) => /** @type {[number, number]} */ ([x, y]));
    if (held?.what === "tick") {
      const n = move.ticks.findIndex(([frame]) => frame === held?.frame);
      spots[n] = last;
    }
    pen.lineJoin = "round";
    for (const [colour, wide] of /** @type {[string, number][]} */ ([["rgb(255 253 246 / 0.9)", 4.5], [paint.BLUE, 1.6]])) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide * px;
      pen.beginPath();
      spots.forEach(([x, y], n) => (n ? pen.lineTo(x, y) : pen.moveTo(x, y)));
      pen.stroke();
    }
    spots.forEach(([x, y], n) => {
      const before = spots[Math.max(0, n - 1)] ?? /** @type {[number, number]} */ ([x, y]);
      const after = spots[Math.min(spots.length - 1, n + 1)] ?? before;
      const along = Math.hypot(after[0] - before[0], after[1] - before[1]) || 1;
      const [u, v] = [-(after[1] - before[1]) / along, (after[0] - before[0]) / along];
      const long = (n === 0 || n === spots.length - 1 ? 11 : 7) * px;
      pen.strokeStyle = paint.BLUE;
      pen.lineWidth = 1.8 * px;
      paint.line(pen, x - u * long, y - v * long, x + u * long, y + v * long);
      if (move.ticks[n]?.[0] === stand.row?.frame) {
        pen.beginPath();
        pen.arc(x, y, 5 * px, 0, 2 * Math.PI);
        pen.fillStyle = paint.RED;
        pen.fill();
      }
    });
    const end = spots.at(-1);
    if (end) paint.pin(pen, end[0], end[1], px, 12);
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} px */
  function chosen(pen, px) {
    const one = stand.lying;
    if (!one) return;
    const cut = cuts.get(one.cutout, version(one.cutout));
    if (cut) {
      pen.save();
      const [a = 1, b = 0, c = 0, d = 1, e = 0, f = 0] = one.matrix;
      const frame = new Path2D();
      frame.rect(0, 0, cut.image.naturalWidth, cut.image.naturalHeight);
      const turned = new Path2D();
      turned.addPath(frame, new DOMMatrix([a, b, c, d, e, f]));
      pen.setLineDash([5 * px, 4 * px]);
      for (const [colour, wide] of /** @type {[string, number][]} */ ([["rgb(255 253 246 / 0.8)", 3], [paint.BLUE, 1.2]])) {
        pen.strokeStyle = colour;
        pen.lineWidth = wide * px;
        pen.stroke(turned);
      }
      pen.restore();
    }
    const [x, y] = knob(one, px);
    pen.strokeStyle = "rgb(255 253 246 / 0.9)";
    pen.lineWidth = 4 * px;
    paint.line(pen, one.pin[0], one.pin[1], x, y);
    pen.strokeStyle = "#75551a";
    pen.lineWidth = 1.6 * px;
    paint.line(pen, one.pin[0], one.pin[1], x, y);
    paint.pin(pen, one.pin[0], one.pin[1], px);
    pen.beginPath();
    pen.arc(x, y, 8 * px, 0, 2 * Math.PI);
    pen.fillStyle = "#fffdf6";
    pen.fill();
    pen.lineWidth = 2 * px;
    pen.stroke();
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} px */
  function handles(pen, px) {
    pen.lineWidth = 2.4 * px;
    pen.strokeStyle = paint.BLUE;
    pen.stroke(paint.outline(stand.view, stand.shape));
    for (const [x, y] of corners(stand.view, stand.shape)) paint.pin(pen, x, y, px, 16);
  }

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
      const n = nearest(free.map(([, x, y]) => /** @type {[number, number]} */ ([x, y])), at, 9 * px);
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

/** @param {Placed} one */
function told(one) {
  return `${one.who}.${one.piece} ${one.cutout} ${one.matrix}`;
}

/** @param {number} mm */
function fine(mm) {
  return Math.round(mm * 100) / 100;
}
