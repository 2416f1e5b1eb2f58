/** What a hand draws: lines thinned to what they mean, loops that go round once. */

/** @typedef {[number, number]} Point */

/**
 * A line with fewer points that lies no further from it than a tolerance (D. H. Douglas and T. K. Peucker, 1973).
 *
 * @param {Point[]} points
 * @param {number} tolerance
 * @returns {Point[]}
 */
export function thinned(points, tolerance) {
  const [first, last] = [points[0], points.at(-1)];
  if (!first || !last || points.length < 3) return points.slice();
  let far = 0;
  let at = 0;
  for (let i = 1; i < points.length - 1; i++) {
    const away = distance(/** @type {Point} */ (points[i]), first, last);
    if (away > far) [far, at] = [away, i];
  }
  if (far <= tolerance) return [first, last];
  return [...thinned(points.slice(0, at + 1), tolerance).slice(0, -1), ...thinned(points.slice(at), tolerance)];
}

/**
 * A hand that draws a loop runs over its own beginning: what sticks out there is cut off. Of a loop that crosses
 * itself elsewhere the larger part is kept.
 *
 * @param {Point[]} points Open: the last is joined to the first.
 * @returns {Point[]}
 */
export function roundOnce(points) {
  let loop = points.slice();
  for (let tries = 0; tries < 50; tries++) {
    const crossing = firstCrossing(loop);
    if (!crossing) break;
    const { i, j, place } = crossing;
    const inner = [place, ...loop.slice(i + 1, j + 1)];
    const outer = [...loop.slice(0, i + 1), place, ...loop.slice(j + 1)];
    loop = Math.abs(area(inner)) > Math.abs(area(outer)) ? inner : outer;
  }
  return loop;
}

/**
 * How far a place is from a line.
 *
 * @param {Point} place
 * @param {Point[]} line One point or more.
 */
export function away(place, line) {
  let least = Math.hypot(place[0] - (line[0]?.[0] ?? NaN), place[1] - (line[0]?.[1] ?? NaN));
  for (let i = 1; i < line.length; i++) least = Math.min(least, distance(place, /** @type {Point} */ (line[i - 1]), /** @type {Point} */ (line[i])));
  return least;
}

/**
 * What a closed line encloses; negative when it runs the other way round.
 *
 * @param {Point[]} loop
 */
export function area(loop) {
  return loop.reduce((sum, [x, y], n) => {
    const [u, v] = /** @type {Point} */ (loop[(n + 1) % loop.length]);
    return sum + (x * v - u * y) / 2;
  }, 0);
}

/**
 * Places as the server is told them: to a tenth of a pixel.
 *
 * @param {Point[]} points
 * @returns {Point[]}
 */
export function told(points) {
  return points.map(([x, y]) => [Math.round(x * 10) / 10, Math.round(y * 10) / 10]);
}

/** @param {Point} p @param {Point} a @param {Point} b */
function distance(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = dx * dx + dy * dy;
  const t = long ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long)) : 0;
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

/**
 * @param {Point[]} loop
 * @returns {{i: number, j: number, place: Point} | null}
 */
function firstCrossing(loop) {
  const n = loop.length;
  const at = (/** @type {number} */ k) => /** @type {Point} */ (loop[k % n]);
  for (let i = 0; i < n - 2; i++)
    for (let j = i + 2; j < n - (i === 0 ? 1 : 0); j++) {
      const [[ax, ay], [bx, by], [cx, cy], [dx, dy]] = [at(i), at(i + 1), at(j), at(j + 1)];
      const turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx);
      if (turn === 0) continue;
      const t = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn;
      const u = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / turn;
      if (t >= 0 && t <= 1 && u >= 0 && u <= 1) return { i, j, place: [ax + t * (bx - ax), ay + t * (by - ay)] };
    }
  return null;
}
