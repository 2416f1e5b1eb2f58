/** The table as it is seen from above: pieces, ghosts, the way of a move, what is chosen. */

import { back, corners } from "../../core/plane.js";
import { Cuts } from "./cuts.js";
import * as paint from "./draw.js";
import { Layers, same } from "./layers.js";

/** @typedef {import("./stand.js").Stand} Stand */
/** @typedef {import("./draw.js").Placed} Placed */

const AROUND = 1.14;
const STEM = 52;

/**
 * @param {Stand} stand
 * @param {() => void} changed Told when a picture has come.
 * @param {() => {frame: number, at: [number, number]} | null} drawn The tick that is being drawn elsewhere, and where.
 */
export function seen(stand, changed, drawn) {
  const layers = new Layers();
  let came = 0;
  const cuts = new Cuts(() => {
    came++;
    changed();
  });
  /** @type {Map<string, HTMLImageElement>} */
  const pictures = new Map();

  const size = () => ({ width: stand.stage.field_mm * AROUND, height: stand.stage.field_mm * AROUND * stand.shape });
  const version = (/** @type {string} */ name) => {
    const cut = stand.bench.desk.film?.documents.cutouts[name];
    return cut ? `${cut.width}x${cut.height}x${cut.width_mm}` : "";
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
    // What nobody has built yet shows its board drawing or card, faintly, to be built upon.
    const bare = row && stand.placed.length === 0;
    const image = row && stand.known && !stand.tried && (row.kind === "drawn" || bare) ? truth(row.key) : null;
    pen.globalAlpha = bare ? 0.4 : 1;
    if (image && row) paint.picture(pen, image, row.view, stand.shape);
    pen.globalAlpha = 1;
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
      image.onload = changed;
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
    for (let off = -stand.ghosts; off <= stand.ghosts; off++) {
      const other = off ? stand.placedOn(stand.index + off).filter((p) => !here.has(told(p))) : [];
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
    const elsewhere = drawn();
    if (elsewhere) spots[move.ticks.findIndex(([frame]) => frame === elsewhere.frame)] = elsewhere.at;
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

  return { size, draw, under, knob };
}

/** @param {Placed} one */
function told(one) {
  return `${one.who}.${one.piece} ${one.cutout} ${one.matrix}`;
}
