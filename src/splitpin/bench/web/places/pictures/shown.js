/** The two pictures on the light table: fetched as large as they are looked at, the latest steps first. */

import { Refused } from "../../core/link.js";

const FIRST = 1600;

/**
 * @param {string} at Where the server has the picture.
 * @param {{width: number, height: number}} size
 * @param {(before: ImageBitmap | null, after: ImageBitmap | null) => void} show
 */
export function shown(at, size, show) {
  const most = Math.max(size.width, size.height);
  let side = Math.min(FIRST, most);
  /** @type {import("../../core/fitting.js").Fit} */
  let fit = {};
  let wanted = "";
  let has = "";
  let hasBefore = 0;
  let busy = false;
  let here = true;

  async function fetchAll() {
    if (busy) return;
    busy = true;
    try {
      while (here && wanted !== has) {
        const now = wanted;
        const large = side;
        if (hasBefore < large) {
          show(await bitmap(fetch(`/api/${at}/print.jpg?fit=false&side=${large}`)), null);
          hasBefore = large;
        }
        const body = JSON.stringify({ fit, side: large });
        show(null, await bitmap(fetch(`/api/${at}/trial`, { method: "POST", body, headers: { "content-type": "application/json" } })));
        has = now;
      }
    } finally {
      busy = false;
    }
  }

  const again = () => {
    wanted = JSON.stringify([fit, side]);
    void fetchAll();
  };
  return {
    /** @param {import("../../core/fitting.js").Fit} to */
    want(to) {
      fit = to;
      again();
    },
    /** @param {number} scale Pixels of the screen for one of the picture. */
    nearer(scale) {
      const needed = scale * (devicePixelRatio || 1) * most;
      if (needed <= side * 1.3 || side >= most) return;
      // From close by only the scan's own pixels tell what became of its dots.
      side = most;
      again();
    },
    leave() {
      here = false;
    },
  };
}

/** @param {Promise<Response>} asked */
async function bitmap(asked) {
  const answer = await asked;
  if (!answer.ok) throw new Refused((await answer.json().catch(() => null))?.mistakes ?? []);
  return createImageBitmap(await answer.blob());
}
