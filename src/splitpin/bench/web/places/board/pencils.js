/** What lies in the pencil tray, and the marks it makes. */

import { h } from "../../core/dom.js";
import { breadth } from "../../core/stroke.js";

/* The card that is drawn on. */
export const PAPER = "#fdfbf4";

/** @typedef {{name: string, key: string, colour: string, width: number, strength: number, grain: boolean}} Tool */

/** @type {Tool[]} */
export const TOOLS = [
  { name: "Pencil", key: "P", colour: "#33322f", width: 7, strength: 0.55, grain: true },
  { name: "Blue pencil", key: "B", colour: "#2f63a3", width: 7, strength: 0.5, grain: true },
  { name: "Red pencil", key: "R", colour: "#b4382a", width: 7, strength: 0.5, grain: true },
  { name: "Soft lead", key: "L", colour: "#4a4843", width: 34, strength: 0.1, grain: true },
  { name: "Ink brush", key: "I", colour: "#1d1f24", width: 11, strength: 1, grain: false },
  { name: "Eraser", key: "E", colour: PAPER, width: 40, strength: 1, grain: false },
];

/**
 * One mark of a tool: graphite catches only on the grain of the paper.
 *
 * @param {Tool} tool
 */
export function stampOf(tool) {
  const side = 64;
  const stamp = /** @type {HTMLCanvasElement} */ (h("canvas", { width: side, height: side }));
  const pen = /** @type {CanvasRenderingContext2D} */ (stamp.getContext("2d"));
  const round = pen.createRadialGradient(32, 32, 0, 32, 32, 32);
  round.addColorStop(tool.grain ? 0.35 : 0.86, tool.colour);
  round.addColorStop(1, tool.colour.startsWith("#") ? `${tool.colour}00` : tool.colour.replace("rgb(", "rgba(").replace(")", ", 0)"));
  pen.fillStyle = round;
  pen.fillRect(0, 0, side, side);
  if (tool.grain) {
    const dots = pen.getImageData(0, 0, side, side);
    let chance = 7;
    for (let i = 3; i < dots.data.length; i += 4) {
      chance = (chance * 16807) % 2147483647;
      dots.data[i] = (dots.data[i] ?? 0) * (chance / 2147483647 > 0.42 ? 1 : 0.12);
    }
    pen.putImageData(dots, 0, 0);
  }
  return stamp;
}

/**
 * A stroke of it, to know it by.
 *
 * @param {Tool} tool
 */
export function sample(tool) {
  const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { width: 88, height: 44, "aria-hidden": "true" }));
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  const stamp = stampOf(tool);
  if (tool.name === "Eraser") {
    pen.fillStyle = "#9c968a";
    pen.fillRect(0, 0, 88, 44);
  }
  pen.globalAlpha = tool.strength;
  for (let i = 0; i <= 120; i++) {
    const x = 10 + (i / 120) * 68;
    const across = breadth(Math.min(26, tool.width * 1.5), Math.sin((i / 120) * Math.PI));
    pen.drawImage(stamp, x - across / 2, 22 - Math.sin((i / 120) * Math.PI * 2) * 8 - across / 2, across, across);
  }
  return canvas;
}
