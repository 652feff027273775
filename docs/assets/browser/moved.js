// An old address: on to where the page is now, with the query and the place that was asked for. Where the fragment is a
// bow, the place goes into the query, and the page goes there once.

const link = document.getElementById("moved");
if (link instanceof HTMLAnchorElement) location.replace(movedTo(link, location));

/**
 * @param {HTMLAnchorElement} anchor
 * @param {{ hash: string, search: string }} asked
 */
function movedTo(anchor, { hash, search }) {
  /** @type {{ [place: string]: string }} */
  const places = JSON.parse(anchor.dataset.places ?? "{}");
  const here = anchor.dataset.place ?? "";
  const to = new URL(anchor.href);
  to.search = search;
  if (/^#q\d+\./.test(hash)) {
    to.searchParams.set("to", here);
    to.hash = hash;
    return to.href;
  }
  const old = readable(hash.slice(1));
  const [page, place] = (places[old] ?? (old || here)).split("#");
  to.hash = place ?? page;
  return place === undefined ? to.href : new URL(`../${page}/${to.search}${to.hash}`, to).href;
}

/**
 * A place's name as it was written; as it came where it cannot be read.
 * @param {string} text
 */
function readable(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
