import assert from "node:assert/strict";
import test from "node:test";

import { area, away, roundOnce, thinned, told } from "../../../src/splitpin/bench/web/core/drawing.js";

/** @param {number} turns @param {number} n */
const circle = (turns, n) => Array.from({ length: n }, (_, k) => /** @type {[number, number]} */ ([100 * Math.cos((k * turns * 2 * Math.PI) / n), 100 * Math.sin((k * turns * 2 * Math.PI) / n)]));

test("a thinned line lies within its tolerance and keeps its ends", () => {
  const line = circle(0.9, 400);
  const few = thinned(line, 1);
  assert.ok(few.length < 40);
  assert.deepEqual([few[0], few.at(-1)], [line[0], line.at(-1)]);
  for (const point of line) assert.ok(away(point, few) <= 1 + 1e-9);
});

test("a loop that runs over its own beginning goes round once", () => {
  const over = circle(1, 60).map(([x, y], n) => /** @type {[number, number]} */ ([x * (1 - n / 600), y * (1 - n / 600)]));
  const loop = roundOnce([...over, [120, 30], [110, 45]]);
  assert.ok(Math.abs(area(loop)) > 0.8 * Math.PI * 100 * 95 * 0.95);
  assert.deepEqual(roundOnce(loop), loop);
});

test("of a figure of eight the larger part is kept", () => {
  /** @type {[number, number][]} */
  const eight = [[0, 0], [100, 100], [100, 0], [0, 100], [-300, 100], [-300, 0]];
  assert.equal(roundOnce(eight).some(([x]) => x === 100), false);
  assert.equal(roundOnce(eight).some(([x]) => x === -300), true);
});

test("a plain loop stays as it is", () => {
  const loop = circle(1, 20);
  assert.deepEqual(roundOnce(loop), loop);
});

test("the distance from a line is that from its nearest part", () => {
  assert.equal(away([5, 3], [[0, 0], [10, 0]]), 3);
  assert.equal(away([13, 4], [[0, 0], [10, 0]]), 5);
  assert.equal(away([3, 4], [[0, 0]]), 5);
});

test("places are told to a tenth of a pixel", () => {
  assert.deepEqual(told([[1.26, 3.04]]), [[1.3, 3]]);
});
