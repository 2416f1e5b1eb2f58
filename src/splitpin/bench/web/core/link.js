/** The line to the server: asking, and hearing what happens. */

/**
 * @typedef {object} Mistake
 * @property {string} file
 * @property {number | null} line
 * @property {string} found
 * @property {string} expected
 * @property {string} remedy
 */

/** What the server refused, with every reason. */
export class Refused extends Error {
  /** @param {Mistake[]} mistakes */
  constructor(mistakes) {
    super(mistakes.map((m) => `${m.file}: ${m.found}; expected ${m.expected}; ${m.remedy}`).join("\n"));
    this.mistakes = mistakes;
  }
}

/**
 * Ask the server.
 *
 * @param {string} method
 * @param {string} path From `/api/` on, without it: `film`.
 * @param {unknown} [body] Sent as JSON, or as a form when it is one.
 * @returns {Promise<any>} What it answers; null for nothing.
 * @throws {Refused}
 */
export async function ask(method, path, body) {
  /** @type {RequestInit} */
  const request = { method };
  if (body instanceof FormData) request.body = body;
  else if (body !== undefined) {
    request.body = JSON.stringify(body);
    request.headers = { "content-type": "application/json" };
  }
  let answer;
  try {
    answer = await fetch(`/api/${path}`, request);
  } catch {
    throw new Refused([
      { file: "the workbench", line: null, found: "it does not answer", expected: "the program to run", remedy: "start `splitpin bench` again; what you did is kept" },
    ]);
  }
  const told = answer.status === 204 ? null : await answer.json().catch(() => null);
  if (!answer.ok) throw new Refused(told?.mistakes ?? []);
  return told;
}

/**
 * Hear what happens, and go on hearing when the line breaks.
 *
 * @param {(event: any) => void} heard
 * @param {(there: boolean) => void} line Told when the line breaks and when it is there again.
 */
export function listen(heard, line) {
  let wait = 250;
  const open = () => {
    const socket = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/api/events`);
    socket.onopen = () => {
      wait = 250;
      line(true);
    };
    socket.onmessage = (message) => heard(JSON.parse(message.data));
    socket.onclose = () => {
      line(false);
      setTimeout(open, wait);
      wait = Math.min(wait * 2, 4000);
    };
  };
  open();
}
