/** Cards are taken by their pins and laid elsewhere. */

import { h } from "../../core/dom.js";

const FAR = 6;
/* Pixels from which on a touch is a drag. */

/**
 * @param {HTMLElement} lying Where the rows of cards lie.
 * @param {(scene: string, panel: string, at: number, to?: string) => void} move
 */
export function drag(lying, move) {
  const gap = h("div", { class: "board-slot", "aria-hidden": "true" });
  /** @type {{card: HTMLElement, x: number, y: number, id: number, lifted: boolean, wait: number} | null} */
  let held = null;

  lying.addEventListener("pointerdown", (event) => {
    const grip = event.target instanceof Element ? event.target.closest(".board-grip") : null;
    const card = /** @type {HTMLElement | null} */ (grip?.closest(".board-card"));
    if (!grip || !card || event.button !== 0 || event.target instanceof HTMLInputElement) return;
    event.preventDefault();
    card.focus({ preventScroll: true });
    lying.setPointerCapture(event.pointerId);
    held = { card, x: event.clientX, y: event.clientY, id: event.pointerId, lifted: false, wait: 0 };
  });
  lying.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    const dx = event.clientX - held.x;
    const dy = event.clientY - held.y;
    if (!held.lifted && Math.hypot(dx, dy) < FAR) return;
    if (!held.lifted) {
      held.lifted = true;
      held.card.classList.add("lifted");
      gap.style.width = `${held.card.offsetWidth}px`;
      gap.style.height = `${held.card.offsetHeight}px`;
      const box = held.card.getBoundingClientRect();
      held.card.before(gap);
      // Lifted off the row: the gap keeps its room there.
      Object.assign(held.card.style, { position: "fixed", left: `${box.left}px`, top: `${box.top}px`, width: `${box.width}px` });
    }
    held.card.style.transform = `translate(${dx}px, ${dy}px) rotate(-1.2deg)`;
    lay(event.clientX, event.clientY);
    const edge = event.clientY < 110 ? -14 : event.clientY > innerHeight - 70 ? 14 : 0;
    if (edge) scrollBy(0, edge);
  });

  /**
   * Where it would lie.
   *
   * @param {number} x
   * @param {number} y
   */
  function lay(x, y) {
    const under = document.elementsFromPoint(x, y).find((one) => one !== held?.card && !held?.card.contains(one) && one.closest(".board-row"));
    const row = under?.closest(".board-row");
    if (!row) return;
    const card = under?.closest(".board-card");
    if (card && card !== held?.card) {
      const box = card.getBoundingClientRect();
      if (x < box.left + box.width / 2) card.before(gap);
      else card.after(gap);
    } else if (!under?.closest(".board-slot")) row.lastElementChild?.before(gap);
  }

  /** @param {boolean} done */
  function drop(done) {
    if (!held) return;
    const { card, lifted } = held;
    held = null;
    if (!lifted) return;
    card.classList.remove("lifted");
    Object.assign(card.style, { position: "", left: "", top: "", width: "", transform: "" });
    const to = gap.closest("section")?.id.replace(/^scene-/, "");
    const order = [...(gap.parentElement?.children ?? [])].filter((one) => one !== card);
    const at = order.indexOf(gap);
    const from = [...(card.parentElement?.querySelectorAll(".board-card") ?? [])].indexOf(card);
    gap.remove();
    const { scene = "", panel = "" } = card.dataset;
    if (done && at >= 0 && to && (to !== scene || at !== from)) move(scene, panel, at, to);
  }
  lying.addEventListener("pointerup", () => drop(true));
  lying.addEventListener("pointercancel", () => drop(false));
  lying.addEventListener("keydown", (event) => event.key === "Escape" && drop(false));
}
