/** What does not change from one picture to the next is drawn once, on sheets of its own. */

export class Layers {
  constructor() {
    /** @type {Map<string, {key: string, sheet: HTMLCanvasElement}>} */
    this._kept = new Map();
  }

  /**
   * Lay a sheet down; it is drawn anew only when its key is another.
   *
   * @param {CanvasRenderingContext2D} pen
   * @param {string} name Which sheet.
   * @param {string} key What its picture depends on, besides how near one looks.
   * @param {(pen: CanvasRenderingContext2D) => void} draw
   * @param {number} [strength] 0 to 1.
   */
  lay(pen, name, key, draw, strength = 1) {
    const { width, height } = pen.canvas;
    if (!width || !height) return;
    const where = pen.getTransform();
    const whole = `${key} ${where} ${width} ${height}`;
    let kept = this._kept.get(name);
    if (!kept || kept.key !== whole) {
      const sheet = kept?.sheet ?? document.createElement("canvas");
      sheet.width = width;
      sheet.height = height;
      const own = sheet.getContext("2d");
      if (!own) return;
      own.setTransform(where);
      draw(own);
      kept = { key: whole, sheet };
      this._kept.set(name, kept);
    }
    pen.save();
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.globalAlpha = strength;
    pen.drawImage(kept.sheet, 0, 0);
    pen.restore();
  }
}

/**
 * Which pieces of a stack are otherwise than before: those below and above can stay as they are.
 *
 * @template T
 * @param {readonly T[]} before
 * @param {readonly T[]} now
 * @param {(one: T) => string} told Equal texts are equal pieces.
 * @returns {[number, number]} How many at the bottom, and how many at the top, are the same.
 */
export function same(before, now, told) {
  let below = 0;
  const most = Math.min(before.length, now.length);
  const equal = (/** @type {T | undefined} */ a, /** @type {T | undefined} */ b) => a !== undefined && b !== undefined && told(a) === told(b);
  while (below < most && equal(before[below], now[below])) below++;
  let above = 0;
  while (above < most - below && equal(before[before.length - 1 - above], now[now.length - 1 - above])) above++;
  return [below, above];
}
