import assert from "node:assert/strict";
import { test } from "node:test";
import { back, corners, fineness, nearest, through, widened } from "../../../src/splitpin/bench/web/core/plane.js";

test("a matrix leads there and back", () => {
  const m = [0, 2, -3, 0, 5, 7];
  assert.deepEqual(through(m, [1, 10]), [-25, 9]);
  assert.deepEqual(back(m, [-25, 9]), [1, 10]);
  assert.equal(fineness(m), 2);
});

test("a view has its corners where it is tilted to", () => {
  const [a, , c] = corners({ x: 1, y: 2, width: 16, angle: 90 }, 0.5);
  assert.ok(Math.hypot(a[0] - 5, a[1] - -6) < 1e-9);
  assert.ok(Math.hypot(c[0] - -3, c[1] - 10) < 1e-9);
});

test("a view pulled at a corner keeps its middle", () => {
  assert.deepEqual(widened({ x: 0, y: 0, width: 100, angle: 0 }, [50, 30], [25, 15]), { x: 0, y: 0, width: 50, angle: 0 });
});

test("the nearest spot is found if it is near", () => {
  assert.equal(nearest([[0, 0], [10, 0]], [8, 1], 3), 1);
  assert.equal(nearest([[0, 0]], [8, 1], 3), -1);
});
