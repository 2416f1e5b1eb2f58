import assert from "node:assert/strict";
import test from "node:test";

import { nearer, pinched, under, whole } from "../../../src/splitpin/bench/web/core/view.js";

test("a whole thing lies in the middle", () => {
  const view = whole({ width: 200, height: 100 }, { width: 432, height: 432 }, 16);
  assert.equal(view.scale, 2);
  assert.deepEqual(under(view, 216, 216), [100, 50]);
});

test("what lies under the hand stays there when it comes nearer", () => {
  const view = { scale: 1.5, x: 20, y: -7 };
  const before = under(view, 130, 90);
  const after = under(nearer(view, 3, 130, 90), 130, 90);
  before.forEach((value, n) => assert.ok(Math.abs(value - (after[n] ?? NaN)) < 1e-9));
});

test("it comes no nearer than can be seen, and goes no further", () => {
  assert.equal(nearer({ scale: 1, x: 0, y: 0 }, 1e9, 0, 0).scale, 64);
  assert.equal(nearer({ scale: 1, x: 0, y: 0 }, 1e-9, 0, 0).scale, 0.02);
});

test("two fingers carry what lies between them", () => {
  const view = { scale: 1, x: 0, y: 0 };
  const moved = pinched(view, [[10, 10], [30, 10]], [[20, 40], [60, 40]]);
  assert.equal(moved.scale, 2);
  assert.deepEqual(under(moved, 20, 40), [10, 10]);
  assert.deepEqual(under(moved, 60, 40), [30, 10]);
});
