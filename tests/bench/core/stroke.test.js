import assert from "node:assert/strict";
import { test } from "node:test";

import { breadth, marks } from "../../../src/splitpin/bench/web/core/stroke.js";

const spot = (x, y, pressure = 0.5) => ({ x, y, pressure });

test("marks are evenly spaced across the pieces of a stroke", () => {
  const way = [spot(0, 0), spot(3, 0), spot(3, 4), spot(10, 4)];
  const found = [];
  let left = 0;
  for (let i = 1; i < way.length; i++) {
    const piece = marks(way[i - 1], way[i], 2, left);
    found.push(...piece.marks);
    left = piece.left;
  }
  assert.equal(found.length, 8); // 14 long, one at the start
  assert.deepEqual([found[1], found[2]], [spot(2, 0), spot(3, 1)]);
  assert.ok(Math.abs(left - 2) < 1e-9);
});

test("a touch without a way leaves one mark", () => {
  assert.equal(marks(spot(5, 5), spot(5, 5), 1, 0).marks.length, 1);
});

test("pressure goes over evenly, and more of it draws wider", () => {
  assert.deepEqual(marks(spot(0, 0, 0), spot(4, 0, 1), 2, 0).marks.map((m) => m.pressure), [0, 0.5, 1]);
  assert.ok(breadth(4, 1) > breadth(4, 0.2));
  assert.equal(breadth(4, 1), 4);
});
