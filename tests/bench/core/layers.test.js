import assert from "node:assert/strict";
import { test } from "node:test";
import { same } from "../../../src/splitpin/bench/web/places/table/layers.js";

const told = (one) => String(one);

test("what is the same below and above is counted once", () => {
  assert.deepEqual(same(["a", "b", "c", "d"], ["a", "x", "c", "d"], told), [1, 2]);
  assert.deepEqual(same(["a", "b"], ["a", "b"], told), [2, 0]);
  assert.deepEqual(same(["a", "b"], ["a", "n", "b"], told), [1, 1]);
  assert.deepEqual(same(["a", "a"], ["a"], told), [1, 0]);
  assert.deepEqual(same([], ["a"], told), [0, 0]);
});
