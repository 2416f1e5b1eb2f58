/** The places of the desk, in the order of the work; each is fetched when somebody goes there. */

/** @type {Record<string, import("../main.js").Listed>} */
export const PLACES = {
  shelf: { title: "Shelf", alone: true, come: async () => (await import("./shelf.js")).shelf },
  pictures: { title: "Pictures", come: async () => (await import("./pictures.js")).pictures },
  mat: { title: "Cutting mat", come: async () => (await import("./mat.js")).mat },
  envelopes: { title: "Envelopes", come: async () => (await import("./envelopes.js")).envelopes },
  board: { title: "Board", come: async () => (await import("./board.js")).board },
  table: { title: "Table", come: async () => (await import("./table.js")).table },
  sheet: { title: "Sheet", come: async () => (await import("./sheet.js")).sheet },
  camera: { title: "Camera", come: async () => (await import("./camera.js")).camera },
  reel: { title: "Reel", come: async () => (await import("./reel.js")).reel },
};
