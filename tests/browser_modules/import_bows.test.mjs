// What a file's bows become on the shelf.

import assert from "node:assert/strict";
import { test } from "node:test";

import { nameOf } from "../../docs/assets/browser/bow.js";
import { importBows } from "../../docs/assets/browser/import_bows.js";
import { bow, logOf, plain } from "./made_records.mjs";

/** @import { Bow } from "../../docs/assets/browser/bow.js" */
/** @import { ImportedBow, News } from "../../docs/assets/browser/import_bows.js" */

const MINE = bow({ bow_name: "Club", margin: "1", log: logOf("2026-06-01", "2026-06-02") });

/**
 * The shelf after MINE, with these bows taken in, and the news.
 * @param {ImportedBow[]} theirs
 * @param {{ apart?: boolean, most?: number }} how
 * @returns {{ bows: Bow[], news: News[] }}
 */
function imported(theirs, { apart = false, most = 60 } = {}) {
  const shelf = new Map([[MINE.id, MINE]]);
  const { changes, news } = importBows(shelf, theirs, { apart, lists: { log: most }, most: 60 });
  assert.equal(shelf.size, 1, "the shelf was touched");
  return plain({ bows: [...new Map([...shelf, ...changes]).values()], news });
}

/** @param {News[]} news */
const kinds = (news) => news.map(({ kind }) => kind);

test("new, known and differing bows are told apart", () => {
  const other = bow({ bow_name: "Other" }, undefined, "bbbbbbbb");
  const { bows, news } = imported([other, { ...MINE, times: {} }, { ...MINE, id: "" }]);
  assert.deepEqual(kinds(news), ["new", "same", "same"]);
  assert.deepEqual(bows, [MINE, other]);
});

test("another bow of the same name gets a number and an id", () => {
  const theirs = [
    bow({ bow_name: "Club" }, undefined, "bbbbbbbb"),
    bow({ bow_name: "Club", margin: "3" }, undefined, ""),
    bow({ margin: "4" }, undefined, ""),
  ];
  const { bows, news } = imported(theirs);
  assert.deepEqual(news.map(({ name }) => name), ["Club 2", "Club 3", ""]);
  assert.deepEqual(bows[0], MINE);
  assert.equal(bows[1].id, "bbbbbbbb");
  assert.equal(new Set(bows.map(({ id }) => id)).size, 4);
  assert.ok(bows.every(({ id }) => id.length >= 8));
  assert.deepEqual(bows.map(({ record }) => nameOf(record)), ["Club", "Club 2", "Club 3", ""]);
});

test("a known bow is merged or kept apart", () => {
  const log = logOf("2026-06-02", "2026-06-03");
  const theirs = bow({ bow_name: "Club", margin: "2", log }, { margin: 9, log: 2 });
  const one = imported([theirs]);
  assert.deepEqual(one.news.map(({ kind, came }) => [kind, came]), [["merged", ["margin", "log"]]]);
  assert.equal(one.bows[0].record.margin, "2");
  assert.deepEqual(one.bows[0].record.log, logOf("2026-06-01", "2026-06-02", "2026-06-03"));
  const two = imported([theirs], { apart: true });
  assert.deepEqual(kinds(two.news), ["apart"]);
  assert.deepEqual(two.bows[0], MINE);
  assert.equal(nameOf(two.bows[1].record), "Club 2");
  assert.deepEqual(two.bows[1].record.log, log);
});

test("an older state changes nothing", () => {
  const older = bow({ bow_name: "Club", margin: "2", log: logOf("2026-06-01") }, { margin: 4 });
  const { bows, news } = imported([older]);
  assert.deepEqual(news.map(({ kind, stayed }) => [kind, stayed]), [["older", ["margin", "log"]]]);
  assert.deepEqual(bows[0].record, MINE.record);
});

test("lists too long for one are kept in two bows", () => {
  const theirs = bow({ bow_name: "Club", log: logOf("2026-07-01", "2026-07-02") });
  const { bows, news } = imported([theirs], { most: 3 });
  assert.deepEqual(kinds(news), ["apart"]);
  assert.deepEqual(bows.map(({ record }) => Array.isArray(record.log) && record.log.length), [2, 2]);
});

test("two states of one bow in one file become one", () => {
  const { bows, news } = imported([
    bow({ bow_name: "New", margin: "1" }, undefined, "bbbbbbbb"),
    bow({ bow_name: "New", margin: "2" }, { margin: 7 }, "bbbbbbbb"),
  ]);
  assert.deepEqual(kinds(news), ["new", "merged"]);
  assert.deepEqual(bows.map(({ record }) => record.margin), ["1", "2"]);
});

test("of two kinds of bolt no one bow is made", () => {
  const flat = bow({ bow_name: "Club", bolt_family: "flat", margin: "1" });
  const shelf = new Map([[flat.id, flat]]);
  /** @param {string} family */
  const taken = (family) => {
    const theirs = bow({ bow_name: "Club", bolt_family: family, margin: "2" }, { bolt_family: 9, margin: 9 });
    const { changes, news } = importBows(shelf, [theirs], { apart: false, lists: {}, most: 60 });
    const [{ kind, why }] = news;
    return [kind, why, [...changes.keys()].includes(flat.id), changes.size];
  };
  assert.deepEqual(taken("clamp"), ["apart", "kind", false, 1]);
  assert.deepEqual(taken("flat"), ["merged", undefined, true, 1]);
  assert.deepEqual(taken("unknown"), ["merged", undefined, true, 1]);
});
