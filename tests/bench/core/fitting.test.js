import assert from "node:assert/strict";
import test from "node:test";

import { angleOf, dragged, HANDLES, handleAt, lineOf, tidy } from "../../../src/splitpin/bench/web/core/fitting.js";

const SIZE = { width: 600, height: 400 };

test("a line that falls to the right asks for a turn anticlockwise, one that rises for the other", () => {
  assert.equal(angleOf(0, 0, 100, 100 * Math.tan(Math.PI / 36)), 5);
  assert.equal(angleOf(0, 0, 100, -100 * Math.tan(Math.PI / 36)), -5);
  assert.equal(angleOf(100, 7, 0, 7), 0);
});

test("a line that is nearer to upright shall stand upright", () => {
  assert.equal(angleOf(0, 0, 0, 50), 0);
  assert.equal(angleOf(0, 0, -10 * Math.tan(Math.PI / 60), 10), 3);
});

test("the line of an angle asks for that angle", () => {
  for (const angle of [-44, -3.25, 0, 0.5, 12]) assert.equal(angleOf(...lineOf(angle, SIZE)), angle);
});

test("a dragged box stays in the picture and keeps at least a pixel, whatever is dragged how far", () => {
  for (const handle of [...HANDLES, "all"])
    for (const by of [-900, -30, 7.4, 900]) {
      const [left, top, width, height] = dragged([100, 80, 200, 120], handle, by, -by, SIZE);
      assert.ok(left >= 0 && top >= 0 && width >= 1 && height >= 1);
      assert.ok(left + width <= 600 && top + height <= 400);
      assert.ok([left, top, width, height].every(Number.isInteger));
    }
  assert.deepEqual(dragged([100, 80, 200, 120], "se", 10, -20, SIZE), [100, 80, 210, 100]);
  assert.deepEqual(dragged([100, 80, 200, 120], "all", -200, 5, SIZE), [0, 85, 200, 120]);
});

test("the handles lie at corners and in the middle of sides", () => {
  assert.deepEqual(handleAt([100, 80, 200, 120], "nw"), [100, 80]);
  assert.deepEqual(handleAt([100, 80, 200, 120], "e"), [300, 140]);
});

test("steps that change nothing are not told", () => {
  assert.deepEqual(tidy({ straighten: 0, crop: null, white: null, screens: [] }), {});
  assert.deepEqual(tidy({ straighten: 1.5, screens: [{ cell: 4, angle: 45 }] }), { straighten: 1.5, screens: [{ cell: 4, angle: 45 }] });
});
