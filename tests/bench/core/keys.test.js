import assert from "node:assert/strict";
import { test } from "node:test";

import { named } from "../../../src/splitpin/bench/web/core/keys.js";

const press = (key, held = {}) => named({ key, ctrlKey: false, metaKey: false, altKey: false, shiftKey: false, ...held });

test("keys are named as people read them", () => {
  assert.equal(press(" "), "Space");
  assert.equal(press("z", { ctrlKey: true }), "Ctrl+Z");
  assert.equal(press("z", { metaKey: true, shiftKey: true }), "Ctrl+Shift+Z");
  assert.equal(press("ArrowLeft", { shiftKey: true }), "Shift+ArrowLeft");
});

test("what needs Shift to be typed is told without it", () => {
  assert.equal(press("?", { shiftKey: true }), "?");
});
