/** A recording as a WAV file: 16 bits, one channel. */

/**
 * @param {Float32Array} samples -1 to 1; what is beyond is cut off.
 * @param {number} sampling Samples a second.
 * @returns {ArrayBuffer} RIFF WAVE, PCM.
 */
export function wave(samples, sampling) {
  const data = new ArrayBuffer(44 + samples.length * 2);
  const view = new DataView(data);
  const word = (/** @type {number} */ at, /** @type {string} */ text) => {
    for (let i = 0; i < text.length; i++) view.setUint8(at + i, text.charCodeAt(i));
  };
  word(0, "RIFF");
  view.setUint32(4, data.byteLength - 8, true);
  word(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, sampling, true);
  view.setUint32(28, sampling * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  word(36, "data");
  view.setUint32(40, samples.length * 2, true);
  samples.forEach((value, i) => view.setInt16(44 + i * 2, Math.round(Math.min(1, Math.max(-1, value)) * 32767), true));
  return data;
}
