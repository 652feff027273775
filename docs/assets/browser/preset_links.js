// Experiments in the page's words: <a href="#…" data-try="name=value&other=value"> sets fields of the view and goes
// to the calculator. Without this module it is a link to it.

/** Listen for them. `fieldOf(name)` is the form's field; `change(name, entry)` enters a value. */
export function listenForPresets({ fieldOf, change }) {
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[data-try]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    for (const [name, typed] of new URLSearchParams(link.dataset.try)) {
      const field = fieldOf(name);
      // Only the view may be set so: what was entered of a bow is the reader's.
      if (field?.scope === "view") change(name, field.entryOf(typed));
    }
  });
}
