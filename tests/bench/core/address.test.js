import assert from "node:assert/strict";
import { test } from "node:test";

import { read, write } from "../../../src/splitpin/bench/web/core/address.js";

test("an address that is written is read again", () => {
  for (const [place, what, query] of [
    ["reel", "", {}],
    ["table", "010-wall", { frame: 12 }],
    ["pictures", "ein Hut/süß & ?", { a: "b c" }],
  ]) {
    const told = read(write(place, what, query));
    assert.equal(told.place, place);
    assert.equal(told.what, what);
    assert.deepEqual(Object.fromEntries(told.query), Object.fromEntries(Object.entries(query).map(([k, v]) => [k, String(v)])));
  }
});
