import assert from "node:assert/strict";
import { test } from "node:test";

import { at, clock, rateOf, seconds } from "../../../src/splitpin/bench/web/core/time.js";

test("a rate is read exactly", () => {
  assert.equal(rateOf("24"), 24);
  assert.equal(rateOf("24000/1001"), 24000 / 1001);
});

test("frames are read as minutes, seconds and frames over", () => {
  assert.equal(clock(0, 24), "0:00+00");
  assert.equal(clock(1608 + 12, 24), "1:07+12");
  assert.equal(seconds(78, 24), "3.25 s");
});

test("the exposure of a frame is the last that has begun", () => {
  const exposures = [{ frame: 0 }, { frame: 2 }, { frame: 6 }];
  assert.deepEqual(
    [-1, 0, 1, 2, 5, 6, 99].map((frame) => at(exposures, frame)),
    [-1, 0, 0, 1, 1, 2, 2],
  );
});
