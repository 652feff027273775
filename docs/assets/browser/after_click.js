// A press on a button first takes the focus from where it was. What that changes on the page waits for the click: a
// button that moved under the pointer would miss it.

let isDown = false;
/** @type {(() => void)[]} */
let waiting = [];

function pressed() {
  isDown = true;
}

function released() {
  isDown = false;
  for (const act of waiting) setTimeout(act);
  waiting = [];
}

for (const [kind, heard] of Object.entries({ pointerdown: pressed, pointerup: released, pointercancel: released })) {
  document.addEventListener(kind, heard, { capture: true, passive: true });
}

/**
 * Do something after the click of the press that is under way, or soon where there is none.
 * @param {() => void} act
 */
export function afterClick(act) {
  if (isDown) waiting.push(act);
  else setTimeout(act);
}
