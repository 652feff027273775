// One bow in the list: its name, a few facts, and what can be done with it.

import { button, make } from "./dom.js";
import { called, changedAt, dayOf, nameOf } from "./bow.js";
import { namesOf, typedOf, unitOf } from "./entry.js";

/** @import { Bow } from "./bow.js" */
/** @import { Entry } from "./entry.js" */

/**
 * A fact that the list tells of a bow: the field, its label, its options in words, and the symbols of its units.
 * @typedef {object} Fact
 * @property {string} name
 * @property {string} label
 * @property {{ [value: string]: string } | null} [options]
 * @property {{ [unit: string]: string } | null} [symbols]
 */

/** @typedef {[words: string, act: string]} Act - what can be done with a bow beside what can be everywhere */

/** @typedef {{ facts: Fact[], longestName: number, nameLabel: string }} CardWords */

/**
 * The card of a bow. `about` is what the page knows of fields; `isUnfolded` whether its further buttons show; `written`,
 * where it is being renamed, what stands in the box, else null.
 * @param {Bow} bow
 * @param {{ about: CardWords, isOnBench: boolean, isUnfolded: boolean, written: string | null, acts?: Act[], told?: string }} how
 */
export function card(bow, { about, isOnBench, isUnfolded, written, acts = [], told }) {
  const name = nameOf(bow.record);
  const title = make("h3", { text: name || "unnamed", tabIndex: -1 });
  const line = make("p", { className: "qt-bow-facts", text: told ?? facts(bow, about) });
  const parts = [written === null ? title : renameForm(about, written), line];
  if (written === null) parts.push(tools(bow, { isOnBench, isUnfolded, acts }));
  const element = make(isOnBench || acts.length > 0 ? "div" : "li", { className: "qt-bow" }, parts);
  element.dataset.bow = bow.id;
  return element;
}

/**
 * @param {Bow} bow
 * @param {{ isOnBench: boolean, isUnfolded: boolean, acts: Act[] }} how
 */
function tools(bow, { isOnBench, isUnfolded, acts }) {
  /**
   * @param {string} words
   * @param {string} act
   */
  const named = (words, act) => {
    const element = button(words, act);
    element.setAttribute("aria-label", `${words}: ${called(bow)}`);
    return element;
  };
  const first = isOnBench ? named("Save a copy", "copy") : named("Open", "take");
  const summary = make("summary", { text: "More" });
  summary.setAttribute("aria-label", `More: ${called(bow)}`);
  const others = [
    named("Rename", "rename"),
    named("Copy a link", "link"),
    named("Save to a file", "save"),
    ...acts.map(([words, act]) => named(words, act)),
    named("Delete", "delete"),
  ];
  for (const one of others) one.classList.add("qt-button--careful");
  const more = make("details", { className: "qt-bow-more", open: isUnfolded }, [
    summary,
    make("div", { className: "qt-bow-tools" }, others),
  ]);
  return make("div", { className: "qt-bow-tools" }, [first, more]);
}

/**
 * @param {CardWords} about
 * @param {string} written
 */
function renameForm(about, written) {
  const input = make("input", { type: "text", value: written, maxLength: about.longestName, autocomplete: "off" });
  const label = make("label", { text: about.nameLabel }, [input]);
  const keep = make("button", { type: "submit", className: "qt-button", text: "Keep this name" });
  const leave = button("Leave it", "leave-name");
  leave.classList.add("qt-button--careful");
  return make("form", { className: "qt-rename", noValidate: true }, [label, keep, leave]);
}

/**
 * @param {Bow} bow
 * @param {CardWords} about
 */
function facts(bow, about) {
  const { record } = bow;
  const many = namesOf(record).length;
  const entered = about.facts.filter(({ name }) => typedOf(record[name]) !== "");
  const told = entered.map((one) => fact(record[one.name], one));
  const changed = changedAt(bow);
  const when = changed > 1 ? [`last entry on ${dayOf(changed)}`] : [];
  return [many === 1 ? "1 entry" : `${many} entries`, ...when, ...told].join(" · ");
}

/**
 * @param {Entry} entry
 * @param {Fact} about
 */
function fact(entry, { label, options, symbols }) {
  const typed = typedOf(entry);
  if (options) return Object.hasOwn(options, typed) ? options[typed] : typed;
  return `${label}: ${typed} ${symbols?.[unitOf(entry) ?? ""] ?? ""}`.trim();
}
