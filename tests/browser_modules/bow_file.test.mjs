// A file of bows: its name, and how one is read as far as a browser can. That its text is as the schema says, and is read by
// the package, is looked at in test_shelf.py.

import assert from "node:assert/strict";
import { test } from "node:test";

import { fileName, readFile } from "../../docs/assets/browser/bow_file.js";
import { bow } from "./made_records.mjs";

/** @type {[string[], string][]} */
const NAMES = [
  [["Club bow 3"], "club-bow-3-2026-06-30.json"],
  [["../../etc/passwd"], "etc-passwd-2026-06-30.json"],
  [["<img src=x onerror=alert(1)>"], "img-src-x-onerror-alert-1-2026-06-30.json"],
  [["Göteborg Nº 5: “blå”"], "goteborg-no-5-bla-2026-06-30.json"],
  [["///"], "bow-2026-06-30.json"],
  [[""], "bow-2026-06-30.json"],
  [["a", "b"], "bows-2026-06-30.json"],
  [["x".repeat(60)], `${"x".repeat(40)}-2026-06-30.json`],
];

for (const [names, wanted] of NAMES) {
  test(`a file's name is plain: ${JSON.stringify(names)}`, () => {
    const bows = names.map((name) => bow({ bow_name: name }));
    assert.equal(fileName(bows, new Date(2026, 5, 30)), wanted);
  });
}

test("a file is read", async () => {
  for (const content of ["ä", "fine"]) {
    assert.deepEqual(await readFile(new File([content], "x.json"), 10), { text: content });
  }
  assert.deepEqual(await readFile(new File(["fine"], "x.json"), 4), { text: "fine" });
});

test("a file that is too large is refused", async () => {
  const { refused } = await readFile(new File(["x".repeat(2_001)], "x.json"), 2_000);
  assert.match(refused ?? "", /was not read/);
});

test("what is no text is refused", async () => {
  const found = await readFile(new File([new Uint8Array([255, 254, 0])], "x.json"), 9);
  assert.deepEqual(found, { refused: "The file is refused: it is not text in UTF-8." });
});

test("what the browser cannot read is refused", async () => {
  const file = { size: 1, arrayBuffer: () => Promise.reject(new DOMException("gone", "NotFoundError")) };
  assert.deepEqual(await readFile(file, 9), { refused: "The file is refused: the browser could not read it." });
});

test("too large a file is not touched", async () => {
  const file = {
    size: 10_500_000,
    arrayBuffer() {
      throw new Error("touched");
    },
  };
  assert.deepEqual(await readFile(file, 2_000_000), {
    refused: "The file is refused and was not read: it has 10.5 MB, and a file of bows has at most 2.0.",
  });
});
