/** Drawing on a card: pencil, soft brush and eraser on an easel; every stroke is a step of the film. */

import { h } from "../../core/dom.js";
import { breadth, marks } from "../../core/stroke.js";
import { easel } from "../../elements/easel.js";
import { PAPER, sample, stampOf, TOOLS } from "./pencils.js";

const WIDE = 1280;

/** @typedef {import("./pencils.js").Tool} Tool */

/**
 * @param {HTMLElement} root
 * @param {import("../../main.js").Bench} bench
 * @param {string} scene
 * @param {string} panel
 * @returns {import("../../main.js").Open}
 */
export function drawing(root, bench, scene, panel) {
  const { desk } = bench;
  const address = `scenes/${encodeURIComponent(scene)}/panels/${encodeURIComponent(panel)}`;
  const [w, t] = /** @type {[number, number]} */ (desk.film?.film.picture ?? [16, 9]);
  const size = { width: WIDE, height: Math.round((WIDE * t) / w) };
  const sheet = /** @type {HTMLCanvasElement} */ (h("canvas", { width: size.width, height: size.height }));
  const pen = /** @type {CanvasRenderingContext2D} */ (sheet.getContext("2d", { willReadFrequently: true }));
  blank();
  let tool = /** @type {Tool} */ (TOOLS[0]);
  let broad = 1;
  let ground = PAPER;
  /** @type {{spot: import("../../core/stroke.js").Spot, left: number, used: Tool, stamp: HTMLCanvasElement, before: ImageData} | null} */
  let stroke = null;
  let dirty = false;
  let saving = false;
  let laid = false;
  const panels = () => desk.film?.documents.scenes[scene]?.panels ?? [];
  const said = () => panels().find((/** @type {any} */ one) => one.name === panel);

  const stand = easel(
    {
      name: `drawing of ${panel}`,
      size: () => size,
      draw(to) {
        to.shadowColor = "rgb(60 50 30 / 0.35)";
        to.shadowBlur = 14;
        to.shadowOffsetY = 5;
        to.fillStyle = PAPER;
        to.fillRect(0, 0, size.width, size.height);
        to.shadowColor = "transparent";
        to.drawImage(sheet, 0, 0);
      },
    },
    { down: begin, move: goOn, up: end, lost },
  );

  function blank() {
    pen.fillStyle = PAPER;
    pen.fillRect(0, 0, size.width, size.height);
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function begin(touch) {
    const wiping = touch.event.buttons === 32; // the other end of the pen
    const used = wiping ? /** @type {Tool} */ (TOOLS.at(-1)) : tool;
    const spot = { x: touch.x, y: touch.y, pressure: touch.pressure };
    stroke = { spot, left: 0, used, stamp: stampOf(used.name === "Eraser" ? { ...used, colour: ground } : used), before: pen.getImageData(0, 0, size.width, size.height) };
    mark(spot);
  }

  /** @param {import("../../elements/easel.js").Touch} touch */
  function goOn(touch) {
    if (stroke) mark({ x: touch.x, y: touch.y, pressure: touch.pressure });
  }

  /**
   * @param {import("../../core/stroke.js").Spot} to
   */
  function mark(to) {
    if (!stroke) return;
    const { used } = stroke;
    const gap = Math.max(0.7, used.width * broad * 0.16);
    const found = marks(stroke.spot, to, gap, stroke.left);
    pen.globalAlpha = used.strength;
    for (const one of found.marks) {
      const across = breadth(used.width * broad, one.pressure);
      // Graphite is stronger under a firm hand, and no two of its marks have the same grain.
      if (used.grain) pen.globalAlpha = used.strength * Math.min(1, 0.45 + one.pressure * 0.9);
      pen.setTransform(1, 0, 0, 1, one.x, one.y);
      if (used.grain) pen.rotate(one.x * 12.9898 + one.y * 78.233);
      pen.drawImage(stroke.stamp, -across / 2, -across / 2, across, across);
    }
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.globalAlpha = 1;
    stroke.spot = to;
    stroke.left = found.left;
    stand.redraw();
  }

  function end() {
    if (!stroke) return;
    stroke = null;
    void keep();
  }

  function lost() {
    if (stroke) pen.putImageData(stroke.before, 0, 0);
    stroke = null;
    stand.redraw();
  }

  /** Save what is drawn; strokes made meanwhile go with the next saving. */
  async function keep() {
    dirty = true;
    if (saving) return;
    saving = true;
    await bench.attempt(async () => {
      while (dirty) {
        dirty = false;
        const picture = await new Promise((done) => sheet.toBlob(done, "image/png"));
        const form = new FormData();
        form.append("picture", /** @type {Blob} */ (picture), "drawing.png");
        await desk.do("POST", `${address}/drawing`, form);
      }
    });
    saving = false;
  }

  /** Show what lies in the film's folder. */
  async function look() {
    const file = said()?.drawing;
    if (file) {
      const answer = await fetch(`/api/files/${encodeURI(file)}`, { cache: "no-store" });
      const picture = answer.ok ? await createImageBitmap(await answer.blob()).catch(() => null) : null;
      if (stroke || saving) return;
      blank();
      if (picture) fit(picture);
      // The eraser brings back the paper of what lies there, which may be darker than ours.
      const [red = 0, green = 0, blue = 0] = picture ? pen.getImageData(3, 3, 1, 1).data : [];
      ground = picture && red + green + blue > 450 ? `rgb(${red}, ${green}, ${blue})` : PAPER;
    } else if (!saving) blank();
    laid = true;
    stand.redraw();
  }

  /** @param {ImageBitmap} picture */
  function fit(picture) {
    const scale = Math.min(size.width / picture.width, size.height / picture.height);
    const [across, down] = [picture.width * scale, picture.height * scale];
    pen.drawImage(picture, (size.width - across) / 2, (size.height - down) / 2, across, down);
  }

  /** @param {Blob | null | undefined} file A picture that is laid on the card. */
  async function lay(file) {
    if (!file) return;
    try {
      fit(await createImageBitmap(file));
    } catch {
      bench.say("This is no picture that can be read: lay a PNG, JPEG or WebP on the card.", true);
      return;
    }
    stand.redraw();
    void keep();
  }

  const brought = /** @type {HTMLInputElement} */ (h("input", { type: "file", accept: "image/png,image/jpeg,image/webp", class: "board-file", tabindex: -1, "aria-hidden": "true" }));
  brought.addEventListener("change", () => {
    void lay(brought.files?.[0]);
    brought.value = "";
  });
  const tools = TOOLS.map((one) => {
    const button = h("button", { class: "plain board-tool", title: `${one.name} (${one.key})`, "aria-pressed": String(one === tool), onclick: () => take(one) }, sample(one), one.name);
    return { one, button };
  });
  const wide = /** @type {HTMLInputElement} */ (h("input", { type: "range", min: 0.3, max: 3, step: 0.1, value: 1, "aria-label": "how broad" }));
  wide.addEventListener("input", () => (broad = Number(wide.value)));

  /** @param {Tool} one */
  function take(one) {
    tool = one;
    for (const each of tools) each.button.setAttribute("aria-pressed", String(each.one === one));
  }

  /** @param {number} by */
  function next(by) {
    const at = panels().findIndex((/** @type {any} */ one) => one.name === panel) + by;
    const other = panels()[at];
    if (other) bench.go("board", `${scene}/${other.name}`);
  }

  const clean = () => bench.attempt(() => desk.do("DELETE", `${address}/drawing`));
  const words = h("div", { class: "board-said paper old" });
  const tray = h(
    "div",
    { class: "board-tray", role: "toolbar", "aria-label": "pencils" },
    ...tools.map((each) => each.button),
    h("label", {}, h("span", {}, "broad"), wide),
    h("button", { onclick: () => brought.click() }, "Lay a picture"),
    h("button", { onclick: () => void clean() }, "New paper"),
    brought,
  );
  root.append(
    h(
      "div",
      { class: "board-drawing" },
      h("div", { class: "board-head" }, h("a", { class: "button", href: `/board/${encodeURIComponent(scene)}` }, "To the board"), h("h2", {}, panel), h("span", { class: "quiet" }, scene), h("span", { class: "board-gap" }), h("button", { class: "plain", title: "the card before (PageUp)", onclick: () => next(-1) }, "card before"), h("button", { class: "plain", title: "the next card (PageDown)", onclick: () => next(1) }, "next card")),
      tray,
      stand.element,
      words,
    ),
  );

  function tell() {
    const one = said();
    words.replaceChildren(h("p", {}, one?.action || h("span", { class: "quiet" }, "Nothing is written on this card.")), h("p", { class: "board-heard" }, one?.sound ?? ""), h("p", { class: "board-spoken" }, one?.says ? `${one.speaker ? `${one.speaker}: ` : ""}“${one.says}”` : ""));
  }

  const paste = (/** @type {ClipboardEvent} */ event) => void lay([...(event.clipboardData?.files ?? [])].find((one) => one.type.startsWith("image/")));
  addEventListener("paste", paste);
  stand.element.addEventListener("dragover", (event) => event.preventDefault());
  stand.element.addEventListener("drop", (event) => {
    event.preventDefault();
    void lay(event.dataTransfer?.files[0]);
  });
  tell();
  void look();
  return {
    keys: [
      ...TOOLS.map((one) => ({ key: one.key, name: one.name.toLowerCase(), does: () => take(one) })),
      { key: "[", name: "finer", does: () => (wide.value = String((broad = Math.max(0.3, broad - 0.2)))) },
      { key: "]", name: "broader", does: () => (wide.value = String((broad = Math.min(3, broad + 0.2)))) },
      { key: "O", name: "lay a picture on it", does: () => brought.click() },
      { key: "PageUp", name: "the card before", does: () => next(-1) },
      { key: "PageDown", name: "the next card", does: () => next(1) },
      { key: "Escape", name: "to the board", does: () => bench.go("board", scene) },
      ...stand.keys,
    ],
    film() {
      if (!said()) return bench.go("board", scene);
      tell();
      if (!saving && laid) void look();
    },
    leave: () => removeEventListener("paste", paste),
  };
}
