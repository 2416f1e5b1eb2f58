import assert from "node:assert/strict";
import { test } from "node:test";

import { wave } from "../../../src/splitpin/bench/web/core/wave.js";

test("a WAV file tells its length and holds its samples", () => {
  const data = new DataView(wave(Float32Array.of(0, 1, -1, 2), 48000));
  assert.equal(data.byteLength, 52);
  assert.equal(data.getUint32(4, true), 44);
  assert.equal(data.getUint32(24, true), 48000);
  assert.deepEqual([0, 1, 2, 3].map((i) => data.getInt16(44 + 2 * i, true)), [0, 32767, -32767, 32767]);
});
