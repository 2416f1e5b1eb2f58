/** The sound's waveform down the side of the sheet. */

import { h } from "../../core/dom.js";

/** @param {number} line Pixels of a line. */
export function waves(line) {
  const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { class: "sheet-wave", "aria-hidden": "true" }));
  /** @type {{frame: number, frames: number}[]} */
  let rows = [];
  /** @type {number[]} */
  let peaks = [];
  let width = 0;
  let loudest = 1;

  return {
    element: canvas,
    /**
     * @param {{frame: number, frames: number}[]} lines
     * @param {number[]} heard The loudest sample of each frame, 0 to 1.
     * @param {number} left Pixels.
     * @param {number} across
     */
    lay(lines, heard, left, across) {
      [rows, peaks, width] = [lines, heard, across];
      loudest = Math.max(0.05, heard.reduce((most, one) => Math.max(most, one), 0));
      canvas.style.left = `${left}px`;
      canvas.style.width = `${width}px`;
    },
    /**
     * @param {number} first
     * @param {number} end
     */
    paint(first, end) {
      const high = (end - first) * line;
      canvas.style.transform = `translateY(${first * line}px)`;
      canvas.style.height = `${high}px`;
      canvas.width = width;
      canvas.height = Math.max(1, high);
      const pen = canvas.getContext("2d");
      if (!pen) return;
      pen.fillStyle = "#b9c6d6";
      const middle = width / 2;
      for (let n = first; n < end; n++) {
        const row = rows[n];
        if (!row) break;
        const step = line / row.frames;
        for (let k = 0; k < row.frames; k++) {
          const half = Math.max(0.5, ((peaks[row.frame + k] ?? 0) / loudest) * (middle - 6));
          pen.fillRect(middle - half, (n - first) * line + k * step, half * 2, step + 0.3);
        }
      }
    },
  };
}
