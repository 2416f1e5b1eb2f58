/** The sound's waveform down the side of the sheet. */

import { h } from "../../core/dom.js";

const AHEAD = 48;
/* Lines. */

/** @param {number} line Pixels of a line. */
export function waves(line) {
  const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { class: "sheet-wave", "aria-hidden": "true" }));
  /** @type {{frame: number, frames: number}[]} */
  let rows = [];
  /** @type {number[]} */
  let peaks = [];
  let width = 0;
  let loudest = 1;
  let [from, to] = [0, 0];

  return {
    element: canvas,
    /**
     * @param {{frame: number, frames: number}[]} lines
     * @param {number[]} heard The loudest sample of each frame, 0 to 1.
     * @param {number} left Pixels.
     * @param {number} across
     */
    lay(lines, heard, left, across) {
      [rows, peaks, width, from, to] = [lines, heard, across, 0, 0];
      loudest = Math.max(0.05, heard.reduce((most, one) => Math.max(most, one), 0));
      canvas.style.left = `${left}px`;
      canvas.style.width = `${width}px`;
    },
    /**
     * @param {number} first
     * @param {number} end
     */
    paint(first, end) {
      // Drawn for some screens at once, and anew only when one has gone beyond them.
      if (first >= from && end <= to) return;
      from = Math.max(0, Math.floor(first / AHEAD) * AHEAD - AHEAD);
      to = Math.min(rows.length, Math.ceil(end / AHEAD) * AHEAD + AHEAD);
      draw(from, to);
    },
  };

  /**
   * @param {number} first
   * @param {number} end
   */
  function draw(first, end) {
      const high = (end - first) * line;
      canvas.style.transform = `translateY(${first * line}px)`;
      canvas.style.height = `${high}px`;
      canvas.width = width;
      canvas.height = Math.max(1, high);
      const pen = canvas.getContext("2d");
      if (!pen) return;
      pen.fillStyle = "rgb(40 83 128 / 0.3)";
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
  }
}
