// The snippet for a page of a course: the frame of a chosen page, with this site's own address, and a script for its height.

import { SITE } from "./site_paths.js";
import { TASK } from "./task_link.js";
import { find, findAll, markInvalid } from "./dom.js";
import { toClipboard } from "./share.js";

const PRACTICE = "practice";
const COPIED = "Copied.";
const REFUSED = "The browser does not let the page copy. The text is selected: copy it from the box.";

/**
 * Start the choices and the buttons. What stands in the text boxes is the snippet of the first page, with the words for an
 * address that data-site has.
 * @param {HTMLElement} root
 */
export function showEmbed(root) {
  const frame = find(root, "#embed-frame", HTMLTextAreaElement);
  const script = find(root, "#embed-script", HTMLTextAreaElement);
  const [page, level] = ["#embed-page", "#embed-level"].map((one) => find(root, one, HTMLSelectElement));
  const task = find(root, "#embed-task", HTMLInputElement);
  const problem = find(root, "#embed-problem");
  const look = find(root, ".qt-embed-look", HTMLAnchorElement);
  const said = findAll(root, ".qt-embed-said");
  const [plain, first] = [frame.value, page.options[0]];
  const placeholder = root.dataset.site ?? "";

  const show = () => {
    const isPractice = page.value === PRACTICE;
    const asked = task.value.trim();
    const isRight = !isPractice || asked === "" || TASK.test(asked);
    find(root, ".qt-embed-task").hidden = !isPractice;
    problem.textContent = isRight ? "" : (problem.dataset.sentence ?? "");
    problem.hidden = isRight;
    markInvalid(task, !isRight);
    const query = isPractice && asked !== "" && isRight ? `?task=${asked}&level=${level.value}` : "";
    const path = `${page.value}/bare.html`;
    look.href = new URL(path + query, SITE).href;
    frame.value = plain
      .replace(`${placeholder}${first.value}/bare.html`, () => inAttribute(SITE.href + path + query))
      .replace(`title="${first.text}"`, () => `title="${inAttribute(page.selectedOptions[0].text)}"`);
    for (const line of said) line.textContent = "";
  };

  script.value = script.value.replace(placeholder, () => SITE.href);
  root.addEventListener("input", show);
  root.addEventListener("click", async ({ target }) => {
    const copies = target instanceof HTMLElement ? target.dataset.copies : undefined;
    if (copies === undefined) return;
    const box = find(root, `#${copies}`, HTMLTextAreaElement);
    box.focus();
    box.select();
    const words = (await toClipboard(box.value)) ? COPIED : REFUSED;
    for (const [at, line] of said.entries()) line.textContent = at === [frame, script].indexOf(box) ? words : "";
  });
  for (const part of findAll(root, ".qt-embed-choices, .qt-tools")) part.hidden = false;
  show();
}

/**
 * A text as it stands between the quotes of an attribute.
 * @param {string} text
 */
function inAttribute(text) {
  return text.replaceAll("&", "&amp;").replaceAll('"', "&quot;");
}
