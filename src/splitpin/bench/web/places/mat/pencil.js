/** The picture on the mat, and what the hand does on it: loop, knife, strokes to keep and to drop. */

import { away, roundOnce, thinned } from "../../core/drawing.js";
import { easel } from "../../elements/easel.js";
import { knifeWays } from "./knife.js";
import { brush, cross, dashed, line } from "./strokes.js";

/** @typedef {import("../../core/drawing.js").Point} Point */
/** @typedef {"loop" | "knife" | "keep" | "drop" | "rub"} Tool */

export const KEEP = "#1f63a8";
export const DROP = "#b3301c";
const GRAPHITE = "#2b2b2b";

/**
 * @param {{at: () => string, size: () => {width: number, height: number}, name: string, draft: ReturnType<typeof import("./draft.js").draft>, outline: () => Point[][], looked: (view: import("../../core/view.js").View) => void}} told
 */
export function pencil(told) {
  const { draft } = told;
  /** @type {CanvasImageSource | null} */
  let picture = null;
  /** @type {Tool} */
  let tool = "loop";
  let radius = 12;
  /** @type {Point[]} */
  let drawn = [];
  /** @type {Point[]} Corners of a loop that is set point by point. */
  let corners = [];
  /** @type {Point | null} */
  let over = null;
  /** @type {number | null} */
  let moved = null;
  /** The hand is led by keys: nothing else shows where it is. */
  let byKeys = false;

  const board = easel({ size: told.size, name: `${told.name} on the mat`, draw }, { down, move, up, over: hover, lost: forget });
  const ways = knifeWays(told.at, () => board.redraw());

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function draw(pen, view) {
    told.looked(view);
    const one = 1 / view.scale;
    const { width, height } = told.size();
    pen.imageSmoothingEnabled = view.scale < 3;
    pen.imageSmoothingQuality = "high";
    pen.shadowColor = "rgb(30 40 30 / 0.4)";
    pen.shadowBlur = 14;
    pen.shadowOffsetY = 4;
    pen.fillStyle = "#fff";
    pen.fillRect(0, 0, width, height);
    pen.shadowColor = "transparent";
    if (picture) pen.drawImage(picture, 0, 0, width, height);
    const now = draft.now();
    pen.lineCap = pen.lineJoin = "round";
    for (const [strokes, colour] of /** @type {const} */ ([[now.keep, KEEP], [now.drop, DROP]])) for (const stroke of strokes) brush(pen, stroke.points, stroke.radius, colour, tool === "loop" || tool === "knife" ? 0.16 : 0.38);
    for (const loop of told.outline()) line(pen, loop, one, GRAPHITE, { closed: true, fine: 1.1 });
    if (now.edge === "soft" || !now.knife.length) dashed(pen, now.loop, one);
    if (tool === "loop" && corners.length) line(pen, over ? [...corners, over] : corners, one, GRAPHITE);
    if (now.edge === "knife") drawKnife(pen, one);
    if ((tool === "keep" || tool === "drop") && drawn.length) brush(pen, drawn, radius, tool === "keep" ? KEEP : DROP, 0.45);
    else if (drawn.length) line(pen, drawn, one, GRAPHITE);
    if (over && (tool === "keep" || tool === "drop" || tool === "rub")) {
      pen.lineWidth = 1.4 * one;
      pen.strokeStyle = tool === "keep" ? KEEP : tool === "drop" ? DROP : GRAPHITE;
      pen.beginPath();
      pen.arc(over[0], over[1], radius, 0, 7);
      pen.stroke();
    }
    if (over && (corners.length || byKeys)) cross(pen, over, one, GRAPHITE);
  }

  /** @param {CanvasRenderingContext2D} pen @param {number} one */
  function drawKnife(pen, one) {
    const { knife, closed } = draft.now();
    const count = closed ? knife.length : knife.length - 1;
    for (let i = 0; i < count; i++) line(pen, ways.between(/** @type {Point} */ (knife[i]), /** @type {Point} */ (knife[(i + 1) % knife.length])), one, "#7a1d10");
    if (tool === "knife" && !closed && knife.length) line(pen, ways.live(), one, DROP, { fine: 1.2 });
    knife.forEach(([x, y], n) => {
      pen.beginPath();
      pen.arc(x, y, (n === 0 && !closed ? 6.5 : 4.5) * one, 0, 7);
      pen.fillStyle = n === moved ? DROP : "#fffbe8";
      pen.fill();
      pen.lineWidth = 1.6 * one;
      pen.strokeStyle = "#7a1d10";
      pen.stroke();
    });
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function down({ x, y, unit, event }) {
    const near = (event.pointerType === "touch" ? 22 : 10) * unit;
    over = [x, y];
    if (tool === "knife") {
      const { knife, closed } = draft.now();
      const at = knife.findIndex((p) => Math.hypot(p[0] - x, p[1] - y) < near);
      if (at === 0 && !closed && knife.length >= 3) close();
      else if (at >= 0) moved = at;
      else void setKnife([x, y]);
    } else if (tool === "rub") rub([x, y]);
    else drawn = [[x, y]];
    board.redraw();
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function move({ x, y }) {
    over = [x, y];
    if (tool === "rub") rub([x, y]);
    else if (tool === "knife" && moved !== null) ways.reach(null, [x, y]);
    else if (drawn.length) drawn.push([x, y]);
    board.redraw();
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function up({ x, y, unit }) {
    const line = drawn;
    drawn = [];
    const { knife, keep, drop } = draft.now();
    if (moved !== null) {
      const at = moved;
      moved = null;
      const before = /** @type {Point} */ (knife[at]);
      ways.stop();
      if (Math.hypot(before[0] - x, before[1] - y) > 3 * unit) void ways.snapped([x, y]).then((place) => draft.change({ knife: draft.now().knife.with(at, place) }));
    } else if (tool === "keep" || tool === "drop") {
      if (!line.length) return;
      const stroke = { points: thinned(line, unit), radius };
      draft.change(tool === "keep" ? { keep: [...keep, stroke] } : { drop: [...drop, stroke] });
    } else if (tool === "loop" && line.length) {
      const long = line.some((p) => Math.hypot(p[0] - x, p[1] - y) > 12 * unit);
      if (long && !corners.length) setLoop(thinned(line, 1.2 * unit));
      else corner([x, y], unit);
    }
    board.redraw();
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function hover({ x, y }) {
    over = [x, y];
    byKeys = false;
    reach();
    board.redraw();
  }

  /** The blade follows the hand. */
  function reach() {
    const { knife, closed } = draft.now();
    const last = knife.at(-1);
    if (tool === "knife" && !closed && last && over) ways.reach(last, over);
  }

  function forget() {
    drawn = [];
    moved = null;
    board.redraw();
  }

  /** @param {Point[]} points */
  function setLoop(points) {
    const loop = roundOnce(points);
    corners = [];
    if (loop.length >= 3) draft.change({ loop, ...(draft.now().edge === "knife" ? { knife: [], closed: false } : {}) });
  }

  /** @param {Point} place @param {number} unit */
  function corner(place, unit) {
    const first = corners[0];
    if (first && corners.length >= 3 && Math.hypot(first[0] - place[0], first[1] - place[1]) < 12 * unit) setLoop(corners);
    else corners = [...corners, place];
  }

  /** @param {Point} place */
  async function setKnife(place) {
    if (draft.now().closed) {
      // A closed way is mended where it is nearest.
      const { knife } = draft.now();
      const gaps = knife.map((p, n) => away(place, ways.between(p, /** @type {Point} */ (knife[(n + 1) % knife.length]))));
      const at = gaps.indexOf(Math.min(...gaps));
      const set = await ways.snapped(place);
      draft.change({ knife: [...knife.slice(0, at + 1), set, ...knife.slice(at + 1)] });
      return;
    }
    const last = draft.now().knife.at(-1) ?? null;
    const set = await ways.snapped(place);
    const { knife } = draft.now();
    if (last !== (knife.at(-1) ?? null)) return;
    draft.change({ edge: "knife", knife: [...knife, set] });
  }

  function close() {
    if (tool === "loop") setLoop(corners);
    else if (tool === "knife" && draft.now().knife.length >= 3) {
      ways.stop();
      draft.change({ closed: true });
    }
    board.redraw();
  }

  /** @param {Point} place */
  function rub(place) {
    const { keep, drop, knife, closed } = draft.now();
    const clear = (/** @type {import("./draft.js").Stroke} */ one) => away(place, one.points) > one.radius + radius * 0.5;
    const stay = { keep: keep.filter(clear), drop: drop.filter(clear), knife: knife.filter((p) => Math.hypot(p[0] - place[0], p[1] - place[1]) > radius) };
    if (stay.keep.length + stay.drop.length + stay.knife.length < keep.length + drop.length + knife.length) draft.change({ ...stay, closed: closed && stay.knife.length >= 3 });
  }

  /** The hand by keys. @param {number} x @param {number} y Pixels of the screen. */
  function nudge(x, y) {
    const { width, height } = told.size();
    const one = 1 / board.view().scale;
    const [a, b] = over ?? [width / 2, height / 2];
    byKeys = true;
    over = [Math.min(width, Math.max(0, a + x * one)), Math.min(height, Math.max(0, b + y * one))];
    reach();
    board.redraw();
  }

  /** Set a point, or a dot, where the hand is. */
  function put() {
    if (!over) return;
    const { keep, drop } = draft.now();
    if (tool === "loop") corner(over, 1 / board.view().scale);
    else if (tool === "knife") void setKnife(over);
    else if (tool === "rub") rub(over);
    else draft.change(tool === "keep" ? { keep: [...keep, { points: [over], radius }] } : { drop: [...drop, { points: [over], radius }] });
    board.redraw();
  }

  board.canvas.addEventListener("pointerleave", () => {
    if (!drawn.length) over = null;
    ways.stop();
    board.redraw();
  });

  return {
    ...board,
    nudge,
    put,
    close,
    tool: () => tool,
    radius: () => radius,
    /** @param {CanvasImageSource} to */
    show(to) {
      picture = to;
      board.redraw();
    },
    /** @param {Tool} to */
    take(to) {
      tool = to;
      forget();
      corners = [];
      ways.stop();
      board.canvas.style.cursor = to === "rub" || to === "keep" || to === "drop" ? "none" : "crosshair";
    },
    /** @param {number} to */
    widen(to) {
      radius = Math.min(2000, Math.max(0.5, to));
      board.redraw();
    },
  };
}
