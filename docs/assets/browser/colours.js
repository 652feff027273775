// Light, dark, or as the system has it: the switch in the head of every page.
//
// The theme has a component for it, which at each start has the browser work out the style of the whole page anew, again
// and again. Here nothing is touched that stands already. What is chosen is kept as the theme keeps it, for the theme's
// own line at the head of the page reads it before the page is drawn.

/** @typedef {{ media: string, scheme: string, primary: string, accent: string }} Colours */

const LIGHT = "(prefers-color-scheme: light)";
const DARK = "(prefers-color-scheme: dark)";
const SYSTEM = "(prefers-color-scheme)";
const KEPT = "__palette";

/**
 * Start the switch.
 * @param {HTMLElement} form with a radio button for each way, each with a label that leads to the next
 * @param {{ read: (name: string) => unknown, keep: (name: string, what: object) => void }} memory
 */
export function startColours(form, { read, keep }) {
  const ways = [...form.querySelectorAll("input")];
  const system = matchMedia(LIGHT);
  let index = chosenBefore(read(KEPT), ways);

  /** What the chosen way comes to: as the system has it, one of the others. */
  const drawn = () => {
    const chosen = coloursOf(ways[index]);
    const followed = chosen.media === SYSTEM && ways.find((one) => one.dataset.mdColorMedia === (system.matches ? LIGHT : DARK));
    return { ...(followed ? coloursOf(followed) : chosen), media: chosen.media };
  };
  const show = () => {
    const { scheme, primary, accent } = drawn();
    for (const [name, value] of Object.entries({ scheme, primary, accent })) {
      const attribute = `data-md-color-${name}`;
      if (document.body.getAttribute(attribute) !== value) document.body.setAttribute(attribute, value);
    }
    for (const [place, way] of ways.entries()) {
      way.checked = place === index;
      const label = way.nextElementSibling;
      if (label instanceof HTMLElement) label.hidden = place !== index;
    }
    requestAnimationFrame(paintTheBrowser);
  };
  /** @param {number} place */
  const choose = (place) => {
    index = place;
    show();
    keep(KEPT, { index, color: drawn() });
  };

  for (const [place, way] of ways.entries()) way.addEventListener("change", () => choose(place));
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    choose((index + 1) % ways.length);
    ways[index].focus();
  });
  system.addEventListener("change", show);
  show();
}

/** The browser's own bar has the colour of the head of the page. */
function paintTheBrowser() {
  const head = document.querySelector(".md-header");
  const bar = document.querySelector('meta[name="theme-color"]');
  if (head && bar) bar.setAttribute("content", getComputedStyle(head).backgroundColor);
}

/**
 * @param {unknown} kept
 * @param {HTMLInputElement[]} ways
 */
function chosenBefore(kept, ways) {
  const index = typeof kept === "object" && kept !== null && "index" in kept ? Number(kept.index) : 0;
  return Number.isInteger(index) && index in ways ? index : 0;
}

/**
 * @param {HTMLInputElement} way
 * @returns {Colours}
 */
function coloursOf({ dataset }) {
  const { mdColorMedia = "", mdColorScheme = "", mdColorPrimary = "", mdColorAccent = "" } = dataset;
  return { media: mdColorMedia, scheme: mdColorScheme, primary: mdColorPrimary, accent: mdColorAccent };
}
