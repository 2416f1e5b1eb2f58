/** Every place has an address: `/table/010-wall?frame=12`. */

/**
 * @typedef {object} Address
 * @property {string} place The first part: `table`.
 * @property {string} what What of it: `010-wall`; empty for none.
 * @property {URLSearchParams} query
 */

/**
 * Read an address.
 *
 * @param {string} url A whole one, or one from the root on.
 * @returns {Address}
 */
export function read(url) {
  const { pathname, searchParams } = new URL(url, "http://desk");
  const [place = "", ...rest] = pathname.split("/").filter(Boolean).map(decodeURIComponent);
  return { place, what: rest.join("/"), query: searchParams };
}

/**
 * Write an address.
 *
 * @param {string} place
 * @param {string} [what]
 * @param {Record<string, string | number>} [query]
 */
export function write(place, what = "", query = {}) {
  const told = new URLSearchParams(Object.entries(query).map(([k, v]) => [k, String(v)])).toString();
  return `/${place}${what ? `/${what.split("/").map(encodeURIComponent).join("/")}` : ""}${told ? `?${told}` : ""}`;
}
