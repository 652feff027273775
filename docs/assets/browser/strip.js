// What belongs to a section's words stays in sight while they are read: beside them where there is room, by the style
// sheet alone; on a narrow page as a strip at the top, once the picture itself has been scrolled past.

import { find, findAll } from "./dom.js";

// px: a picture of which no more than this is left is passed. One that only the page around a frame has scrolled away has
// not been passed in the frame.
const TOP = 40;

/** @param {HTMLElement} root */
export function keepInSight(root) {
  for (const section of findAll(root, ".qt-beside")) follow(section);
}

/** @param {HTMLElement} section */
function follow(section) {
  const strip = find(section, ".qt-strip-button");
  const place = find(section, ".qt-pane-place");
  const pane = find(section, ".qt-pane");

  /** @param {boolean} isOpen */
  const show = (isOpen) => {
    // What stands below must not move up while the pane lies over the page.
    place.style.minHeight = isOpen ? `${place.offsetHeight}px` : "";
    section.classList.toggle("qt-open", isOpen);
    strip.setAttribute("aria-expanded", String(isOpen));
  };

  new IntersectionObserver(
    ([{ isIntersecting, boundingClientRect }]) => {
      const isPast = !isIntersecting && boundingClientRect.bottom <= TOP;
      section.classList.toggle("qt-passed", isPast);
      if (!isPast && section.classList.contains("qt-open")) show(false);
    },
    { rootMargin: `-${TOP}px 0px 0px 0px` },
  ).observe(place);

  strip.addEventListener("click", () => show(!section.classList.contains("qt-open")));
  section.addEventListener("keydown", ({ key }) => {
    if (key !== "Escape" || !section.classList.contains("qt-open")) return;
    show(false);
    if (pane.contains(document.activeElement)) strip.focus();
  });
}
