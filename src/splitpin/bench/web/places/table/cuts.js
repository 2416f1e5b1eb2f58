/** The pictures of cut-outs, small enough to be drawn quickly, and where they are paper. */

const SEEN = 8;
const COARSE = 160;

/**
 * @typedef {object} Cut
 * @property {HTMLImageElement} image
 * @property {(HTMLImageElement | HTMLCanvasElement)[]} sizes Each half as large as the one before.
 * @property {Uint8ClampedArray | null} alpha Of a coarse copy.
 * @property {number} coarse Its width, and below its height.
 * @property {number} tall
 */

export class Cuts {
  /** @param {() => void} came Told when another picture is there. */
  constructor(came) {
    this._came = came;
    /** @type {Map<string, Cut>} */
    this._cuts = new Map();
  }

  /**
   * @param {string} name
   * @param {string} [version] Another one is fetched anew.
   * @returns {Cut | null} null while it is not there yet.
   */
  get(name, version = "") {
    const key = `${name}?${version}`;
    let cut = this._cuts.get(key);
    if (!cut) {
      const image = new Image();
      cut = { image, sizes: [], alpha: null, coarse: 0, tall: 0 };
      this._cuts.set(key, cut);
      image.onload = () => this._came();
      image.src = `/api/files/cutouts/${encodeURIComponent(name)}.png?v=${encodeURIComponent(version)}`;
    }
    return cut.image.complete && cut.image.naturalWidth ? cut : null;
  }

  /**
   * Draw a cut-out with a pen that is in its pixels.
   *
   * @param {CanvasRenderingContext2D} pen
   * @param {Cut} cut
   * @param {number} fine Pixels of the screen for one of the cut-out.
   */
  draw(pen, cut, fine) {
    let half = 0;
    while (fine * 2 ** (half + 1) <= 1 && half < 6) half++;
    const { naturalWidth: width, naturalHeight: height } = cut.image;
    pen.drawImage(size(cut, half), 0, 0, width, height);
  }

  /**
   * Whether there is paper at a pixel.
   *
   * @param {Cut} cut
   * @param {number} x
   * @param {number} y
   */
  paper(cut, x, y) {
    const { naturalWidth: width, naturalHeight: height } = cut.image;
    if (!(x >= 0 && y >= 0 && x < width && y < height)) return false;
    if (!cut.alpha) {
      const by = Math.min(1, COARSE / Math.max(width, height));
      cut.coarse = Math.max(1, Math.round(width * by));
      cut.tall = Math.max(1, Math.round(height * by));
      const pen = copied(cut.image, cut.coarse, cut.tall).getContext("2d", { willReadFrequently: true });
      cut.alpha = pen ? pen.getImageData(0, 0, cut.coarse, cut.tall).data : new Uint8ClampedArray();
    }
    const [column, row] = [Math.floor((x / width) * cut.coarse), Math.floor((y / height) * cut.tall)];
    return (cut.alpha[(row * cut.coarse + column) * 4 + 3] ?? 0) > SEEN;
  }
}

/**
 * A cut-out, halved so many times.
 *
 * @param {Cut} cut
 * @param {number} half
 */
function size(cut, half) {
  if (!cut.sizes.length) cut.sizes.push(cut.image);
  while (cut.sizes.length <= half) {
    const n = 2 ** cut.sizes.length;
    const { naturalWidth: width, naturalHeight: height } = cut.image;
    const last = /** @type {HTMLCanvasElement} */ (cut.sizes.at(-1));
    cut.sizes.push(copied(last, Math.max(1, Math.round(width / n)), Math.max(1, Math.round(height / n))));
  }
  return /** @type {HTMLCanvasElement} */ (cut.sizes[half]);
}

/**
 * @param {CanvasImageSource} image
 * @param {number} width
 * @param {number} height
 */
function copied(image, width, height) {
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const pen = canvas.getContext("2d");
  if (pen) pen.imageSmoothingQuality = "high";
  pen?.drawImage(image, 0, 0, width, height);
  return canvas;
}
