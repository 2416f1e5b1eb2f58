/** The piece as it was cut, seen over a ground; or what it leaves of the picture. */

import { whole } from "../../core/view.js";
import { easel } from "../../elements/easel.js";

/** @typedef {"white" | "black" | "grey" | "chequer" | "film"} Ground */

export const GROUNDS = /** @type {[Ground, string][]} */ ([["white", "white"], ["black", "black"], ["grey", "grey"], ["chequer", "chequer"], ["film", "the film's background"]]);

/**
 * @param {{size: () => {width: number, height: number}, name: string, mm: () => number}} told `mm` is how large one
 *   pixel of the picture is on the table.
 */
export function seen(told) {
  /** @type {Ground} */
  let ground = "white";
  /** @type {{box: [number, number, number, number], picture: CanvasImageSource} | null} */
  let piece = null;
  /** @type {CanvasImageSource | null} */
  let left = null;
  let leaves = false;
  /** @type {{picture: HTMLImageElement, width_mm: number} | null} */
  let film = null;
  const board = easel({ size: told.size, name: told.name, draw }, {});

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view */
  function draw(pen, view) {
    const { width, height } = told.size();
    const one = 1 / view.scale;
    pen.imageSmoothingQuality = "high";
    pen.imageSmoothingEnabled = view.scale < 3;
    if (leaves) {
      if (left) pen.drawImage(left, 0, 0, width, height);
      return;
    }
    lay(pen, view, width, height, one);
    if (!piece) return;
    const [x, y, w, h] = piece.box;
    pen.drawImage(piece.picture, x, y, w, h);
  }

  /** @param {CanvasRenderingContext2D} pen @param {import("../../core/view.js").View} view @param {number} width @param {number} height @param {number} one */
  function lay(pen, view, width, height, one) {
    // All of the screen, not only the picture: an edge is judged with its surroundings.
    const [x, y] = [-view.x * one, -view.y * one];
    const [w, h] = [board.canvas.clientWidth * one, board.canvas.clientHeight * one];
    pen.fillStyle = { white: "#fff", black: "#000", grey: "#808080", chequer: "#fff", film: "#fff" }[ground];
    pen.fillRect(x, y, w, h);
    if (ground === "chequer") {
      const square = 14 * one;
      pen.fillStyle = "#c9c9c9";
      for (let row = 0; row * square < h; row++) for (let column = row % 2; column * square < w; column += 2) pen.fillRect(x + column * square, y + row * square, square, square);
    }
    if (ground === "film" && film) {
      const wide = film.width_mm / told.mm();
      const high = (wide * film.picture.naturalHeight) / film.picture.naturalWidth;
      const [bx, by, bw, bh] = piece?.box ?? [0, 0, width, height];
      pen.drawImage(film.picture, bx + bw / 2 - wide / 2, by + bh / 2 - high / 2, wide, high);
    }
  }

  return {
    ...board,
    ground: () => ground,
    /** @param {Ground} to */
    over(to) {
      ground = to;
      board.redraw();
    },
    /** @param {typeof piece} to */
    show(to) {
      piece = to;
      board.redraw();
    },
    /** @param {CanvasImageSource | null} to */
    leave(to) {
      left = to;
      board.redraw();
    },
    /** @param {boolean} to */
    turn(to) {
      leaves = to;
      board.redraw();
    },
    /** @param {HTMLImageElement} picture @param {number} width_mm */
    background(picture, width_mm) {
      film = { picture, width_mm };
      board.redraw();
    },
    /** Look where the other easel looks. @param {import("../../core/view.js").View} view @param {HTMLCanvasElement} other */
    beside(view, other) {
      const size = told.size();
      const screen = { width: board.canvas.clientWidth, height: board.canvas.clientHeight };
      if (!screen.width) return;
      const all = whole(size, { width: other.clientWidth, height: other.clientHeight });
      if (Math.abs(view.scale / all.scale - 1) < 1e-6) {
        // Where all of the picture lies on the mat, all of the piece is seen.
        const [left, top, width, height] = leaves || !piece ? [0, 0, size.width, size.height] : piece.box;
        const near = whole({ width, height }, screen, 24);
        board.look({ scale: near.scale, x: near.x - left * near.scale, y: near.y - top * near.scale });
        return;
      }
      const by = whole(size, screen).scale / all.scale;
      const [x, y] = [(other.clientWidth / 2 - view.x) / view.scale, (other.clientHeight / 2 - view.y) / view.scale];
      const scale = view.scale * by;
      board.look({ scale, x: screen.width / 2 - x * scale, y: screen.height / 2 - y * scale });
    },
  };
}
