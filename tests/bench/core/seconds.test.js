import assert from "node:assert/strict";
import { test } from "node:test";

import { framesOf, secondsOf } from "../../../src/splitpin/bench/web/core/seconds.js";

test("seconds are kept to whole frames", () => {
  assert.equal(framesOf("2.5", 24), 60);
  assert.equal(framesOf(" 2,51 s", 24), 60);
  assert.equal(framesOf("7f", 24), 7);
  assert.equal(framesOf("1", 24000 / 1001), 24);
});

test("what is no time, or less than a frame, is none", () => {
  for (const text of ["", "soon", "-1", "0", "0.01", "1e9", "99999999", "1.2.3"]) assert.equal(framesOf(text, 24), null, text);
});

test("seconds have no more places than it takes", () => {
  assert.equal(secondsOf(60, 24), "2.5");
  assert.equal(secondsOf(7, 24), "0.292");
});
