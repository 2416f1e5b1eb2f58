/** An easel: something large to look at and to work on, near by or from afar, by mouse, pen, fingers or keys. */

import { h } from "../core/dom.js";
import { nearer, pinched, under, whole } from "../core/view.js";

/**
 * One touch of the thing on the easel.
 *
 * @typedef {object} Touch
 * @property {number} x In units of the thing.
 * @property {number} y
 * @property {number} unit Units of the thing for one pixel of the screen.
 * @property {number} pressure 0 to 1; half for what knows none.
 * @property {PointerEvent} event
 */

/**
 * @typedef {object} Hands
 * @property {(touch: Touch) => void} [down]
 * @property {(touch: Touch) => void} [move] While it is held down.
 * @property {(touch: Touch) => void} [up]
 * @property {(touch: Touch) => void} [over] While it is not.
 * @property {() => void} [lost] A second finger came, or the touch was taken away: forget what was begun.
 */

/**
 * @param {{size: () => import("../core/view.js").Size, draw: (pen: CanvasRenderingContext2D, view: import("../core/view.js").View) => void, name: string}} thing
 *   `draw` is called with the pen in units of the thing; one unit is `view.scale` pixels of the screen.
 * @param {Hands} hands
 */
export function easel(thing, hands) {
  const canvas = /** @type {HTMLCanvasElement} */ (h("canvas", { tabindex: "0", "aria-label": thing.name }));
  const element = h("div", { class: "easel" }, canvas);
  /** @type {import("../core/view.js").View} */
  let view = { scale: 1, x: 0, y: 0 };
  let fitted = true;
  let waiting = 0;
  let panning = false;
  let free = false;
  /** @type {Map<number, [number, number]>} */
  const fingers = new Map();

  const screen = () => ({ width: canvas.clientWidth, height: canvas.clientHeight });
  const place = (/** @type {PointerEvent | WheelEvent} */ event) => {
    const box = canvas.getBoundingClientRect();
    return /** @type {[number, number]} */ ([event.clientX - box.left, event.clientY - box.top]);
  };
  const touch = (/** @type {PointerEvent} */ event) => {
    const [x, y] = under(view, ...place(event));
    return { x, y, unit: 1 / view.scale, pressure: event.pressure || 0.5, event };
  };

  function redraw() {
    if (!waiting) waiting = requestAnimationFrame(paint);
  }

  function paint() {
    waiting = 0;
    const { width, height } = screen();
    const fine = devicePixelRatio || 1;
    if (canvas.width !== Math.round(width * fine) || canvas.height !== Math.round(height * fine)) {
      canvas.width = Math.round(width * fine);
      canvas.height = Math.round(height * fine);
    }
    const pen = canvas.getContext("2d");
    if (!pen) return;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.clearRect(0, 0, canvas.width, canvas.height);
    pen.setTransform(view.scale * fine, 0, 0, view.scale * fine, view.x * fine, view.y * fine);
    thing.draw(pen, view);
  }

  /** Show all of it. */
  function fit() {
    fitted = true;
    view = whole(thing.size(), screen());
    redraw();
  }

  /** @param {import("../core/view.js").View} to */
  function look(to) {
    fitted = false;
    view = to;
    redraw();
  }

  /** @param {number} factor About the middle. */
  function zoom(factor) {
    const { width, height } = screen();
    look(nearer(view, factor, width / 2, height / 2));
  }

  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 30 : 1;
    if (event.shiftKey) look({ ...view, x: view.x - (event.deltaX + event.deltaY) * lines });
    else look(nearer(view, Math.exp((-event.deltaY * lines) / 400), ...place(event)));
  }, { passive: false });
  canvas.addEventListener("pointerdown", (event) => {
    canvas.focus({ preventScroll: true });
    canvas.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, place(event));
    if (fingers.size > 1) {
      if (!panning) hands.lost?.();
      panning = true;
    } else if (event.button === 1 || free) panning = true;
    else if (event.button === 0) hands.down?.(touch(event));
  });
  canvas.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) hands.over?.(touch(event));
    else if (!panning) hands.move?.(touch(event));
    else {
      const was = [...fingers.values()];
      fingers.set(event.pointerId, place(event));
      look(pinched(view, was, [...fingers.values()]));
    }
  });
  const end = (/** @type {PointerEvent} */ event) => {
    if (!fingers.delete(event.pointerId)) return;
    if (!panning && event.type === "pointerup") hands.up?.(touch(event));
    else if (!panning) hands.lost?.();
    if (fingers.size === 0) panning = false;
  };
  canvas.addEventListener("pointerup", end);
  canvas.addEventListener("pointercancel", end);
  canvas.addEventListener("keydown", (event) => {
    if (event.key === " ") {
      free = true;
      canvas.style.cursor = "grab";
      event.preventDefault();
      event.stopPropagation();
    }
  });
  canvas.addEventListener("keyup", (event) => {
    if (event.key !== " ") return;
    free = false;
    canvas.style.cursor = "";
  });
  new ResizeObserver(() => (fitted ? fit() : redraw())).observe(canvas);

  return {
    element,
    canvas,
    redraw,
    fit,
    zoom,
    look,
    /** Where one looks at it. */
    view: () => view,
    /** @type {import("../core/keys.js").Action[]} */
    keys: [
      { key: "+", name: "nearer", does: () => zoom(1.25) },
      { key: "-", name: "further away", does: () => zoom(0.8) },
      { key: "0", name: "all of it", does: fit },
    ],
  };
}
