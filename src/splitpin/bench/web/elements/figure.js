/** Cut-outs' pictures, and drawing pieces of them where the server placed them. */

/** @typedef {import("../core/figure.js").Piece} Piece */

const FINE = 96;
/** How finely it is remembered where a cut-out has paper: pixels along its longer side. */

/** Pictures by name, fetched once; another version of one is fetched anew. */
export class Cutouts {
  /** @param {() => void} came Told when one more is here. */
  constructor(came) {
    this.came = came;
    /** @type {Map<string, {image: HTMLImageElement, version: number, paper: Uint8ClampedArray | null, wide: number, high: number}>} */
    this.kept = new Map();
  }

  /**
   * @param {string} name
   * @param {number} version
   * @returns {HTMLImageElement | null} null while it is not here.
   */
  image(name, version) {
    let one = this.kept.get(name);
    if (!one || one.version !== version) {
      one = { image: new Image(), version, paper: null, wide: 0, high: 0 };
      one.image.addEventListener("load", () => this.came());
      one.image.src = `/api/files/cutouts/${encodeURIComponent(name)}.png?version=${version}`;
      this.kept.set(name, one);
    }
    return one.image.complete && one.image.naturalWidth ? one.image : null;
  }

  /**
   * Whether there is paper at a pixel of a cut-out.
   *
   * @param {string} name
   * @param {number} x
   * @param {number} y
   */
  paper(name, x, y) {
    const one = this.kept.get(name);
    if (!one?.image.naturalWidth) return false;
    const { naturalWidth: width, naturalHeight: height } = one.image;
    if (!one.paper) {
      const by = Math.min(1, FINE / Math.max(width, height));
      one.wide = Math.max(1, Math.round(width * by));
      one.high = Math.max(1, Math.round(height * by));
      const small = new OffscreenCanvas(one.wide, one.high);
      const pen = small.getContext("2d", { willReadFrequently: true });
      pen?.drawImage(one.image, 0, 0, one.wide, one.high);
      one.paper = pen?.getImageData(0, 0, one.wide, one.high).data ?? new Uint8ClampedArray();
    }
    const column = Math.floor((x / width) * one.wide);
    const row = Math.floor((y / height) * one.high);
    if (column < 0 || row < 0 || column >= one.wide || row >= one.high) return false;
    return (one.paper[(row * one.wide + column) * 4 + 3] ?? 0) > 60;
  }
}

/**
 * Draw pieces, lowest first.
 *
 * @param {CanvasRenderingContext2D} pen In millimetres, y up.
 * @param {readonly Piece[]} placed
 * @param {Cutouts} cutouts
 * @param {(piece: string) => number} [ink] How strongly a piece is drawn, 0 to 1.
 */
export function drawPieces(pen, placed, cutouts, ink = () => 1) {
  pen.imageSmoothingQuality = "high";
  for (const one of placed) {
    const image = cutouts.image(one.cutout, one.version ?? 0);
    if (!image) continue;
    pen.save();
    pen.globalAlpha = ink(one.piece);
    pen.transform(...one.matrix);
    pen.drawImage(image, 0, 0);
    pen.restore();
  }
}
