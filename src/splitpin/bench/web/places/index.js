/** The places of the desk, in the order of the work. */

import { board } from "./board.js";
import { camera } from "./camera.js";
import { envelopes } from "./envelopes.js";
import { mat } from "./mat.js";
import { pictures } from "./pictures.js";
import { reel } from "./reel.js";
import { sheet } from "./sheet.js";
import { shelf } from "./shelf.js";
import { table } from "./table.js";

/** @type {Record<string, import("../main.js").Place>} */
export const PLACES = { shelf, pictures, mat, envelopes, board, table, sheet, camera, reel };
