import assert from "node:assert/strict";
import { test } from "node:test";

import { bounds, goOn, rule, seen, towards } from "../../../src/splitpin/bench/web/core/lines.js";

test("the lines that are seen are there, with some before and after, however many there are", () => {
  assert.deepEqual(seen(0, 300, 30, 5000, 4), [0, 14]);
  assert.deepEqual(seen(60015, 300, 30, 5000, 4), [1996, 2015]);
  assert.deepEqual(seen(149_700, 300, 30, 5000, 4), [4986, 5000]);
  assert.deepEqual(seen(9e9, 300, 30, 3, 4), [3, 3]);
});

test("one looks no further than needed to see a line", () => {
  assert.equal(towards(300, 300, 30, 12), 300);
  assert.equal(towards(300, 300, 30, 2), 60);
  assert.equal(towards(300, 300, 30, 20), 330);
});

test("a choice goes on within the sheet and grows from where it was begun", () => {
  const sheet = { rows: 10, columns: 3 };
  const one = { row: 4, column: 1, fromRow: 4, fromColumn: 1 };
  assert.deepEqual(goOn(one, 99, 0, sheet, false), { row: 9, column: 1, fromRow: 9, fromColumn: 1 });
  assert.deepEqual(bounds(goOn(one, -2, 1, sheet, true)), { top: 2, bottom: 4, left: 1, right: 2 });
});

test("seconds and halves have heavier rules, also at rates that are not whole", () => {
  assert.deepEqual([2, 12, 24, 25].map((frame) => rule(frame, frame - 2, 24)), ["", "half", "second", "second"]);
  assert.equal(rule(24, 22, 24000 / 1001), "second");
  assert.equal(rule(0, -1, 24), "second");
});
