import assert from "node:assert/strict";
import { test } from "node:test";
import { back, boxOf, moved, through, touched } from "../../../src/splitpin/bench/web/core/figure.js";

const low = { piece: "low", cutout: "a", matrix: [0.5, 0, 0, -0.5, -10, 20], pin: [0, 0] };
const high = { piece: "high", cutout: "a", matrix: [0, 0.5, 0.5, 0, 5, 5], pin: [0, 0] };

test("pieces lie in their box, turned as they are", () => {
  const box = boxOf([low, high], () => ({ width: 40, height: 20 }));
  assert.deepEqual(box, { left: -10, top: 25, width: 25, height: 20 });
  assert.equal(boxOf([], () => ({ width: 1, height: 1 })).width, 100);
});

test("a point goes there and back", () => {
  const [x, y] = through(high.matrix, 7, 3);
  assert.deepEqual(back(high.matrix, x, y).map((v) => Math.round(v * 1e9) / 1e9), [7, 3]);
});

test("the topmost piece that has paper there is touched", () => {
  const paper = (_, x, y) => x >= 0 && y >= 0 && x < 40 && y < 20;
  assert.equal(touched([low, high], 6, 12, paper), "high");
  assert.equal(touched([low, high], -5, 15, paper), "low");
  assert.equal(touched([low, high], 90, 90, paper), null);
});

test("an item is moved within its list", () => {
  assert.deepEqual(moved(["a", "b", "c"], 0, 2), ["b", "c", "a"]);
  assert.deepEqual(moved(["a", "b", "c"], 2, -4), ["c", "a", "b"]);
});
