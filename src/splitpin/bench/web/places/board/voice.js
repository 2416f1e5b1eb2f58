/** A scratch voice from the microphone, laid on a card. */

import { h } from "../../core/dom.js";
import { wave } from "../../core/wave.js";

const LONGEST = 120;
/* Seconds after which nobody speaks any more. */

/**
 * @param {import("../../main.js").Bench} bench
 * @param {HTMLElement} button What begins and ends it.
 * @param {string} address Of the card, as the server knows it.
 */
export function recorder(bench, button, address) {
  const mark = h("span", { class: "board-voice" });
  const word = button.textContent;
  /** @type {{machine: MediaRecorder, stream: MediaStream, ticking: number, begun: number} | null} */
  let going = null;
  let asking = false;

  /** @param {number} card Seconds of the card. */
  async function begin(card) {
    asking = true;
    let stream;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false } });
    } catch (problem) {
      bench.say(`No microphone can be used (${problem instanceof Error ? problem.message : problem}): allow it in the browser, or bring a file recorded elsewhere.`, true);
      return;
    } finally {
      asking = false;
    }
    const machine = new MediaRecorder(stream);
    /** @type {Blob[]} */
    const heard = [];
    machine.addEventListener("dataavailable", (event) => heard.push(event.data));
    machine.addEventListener("stop", () => void keep(new Blob(heard, { type: machine.mimeType }), card));
    machine.start();
    going = { machine, stream, begun: performance.now(), ticking: setInterval(tick, 100) };
    button.classList.add("recording");
    button.setAttribute("aria-pressed", "true");
    tick();
  }

  function tick() {
    if (!going) return;
    const seconds = (performance.now() - going.begun) / 1000;
    button.textContent = `stop ${seconds.toFixed(1)} s`;
    if (seconds > LONGEST) end();
  }

  function end() {
    if (!going) return;
    clearInterval(going.ticking);
    going.machine.stop();
    for (const track of going.stream.getTracks()) track.stop();
    going = null;
    button.classList.remove("recording");
    button.removeAttribute("aria-pressed");
    button.textContent = word;
  }

  /**
   * @param {Blob} blob
   * @param {number} card
   */
  async function keep(blob, card) {
    await bench.attempt(async () => {
      const context = new OfflineAudioContext(1, 1, 48000);
      const sound = await context.decodeAudioData(await blob.arrayBuffer());
      const form = new FormData();
      form.append("sound", new Blob([wave(sound.getChannelData(0), sound.sampleRate)], { type: "audio/wav" }), "voice.wav");
      const kept = await bench.desk.do("POST", `${address}/voice`, form);
      const over = kept.seconds - card;
      bench.say(`${kept.file}: ${kept.seconds.toFixed(2)} s${over > 0.05 ? `, ${over.toFixed(2)} s longer than its card` : ""}`);
    });
  }

  return {
    mark,
    /** @param {number} card Seconds of the card. */
    toggle(card) {
      if (going) end();
      else if (!asking) void begin(card);
    },
    leave: end,
  };
}
