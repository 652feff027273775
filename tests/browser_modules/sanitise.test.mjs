// Addresses that could run something. What the page's answer keeps and drops is looked at in test_patch_keeps.py.

import assert from "node:assert/strict";
import { test } from "node:test";

import { isSafeAddress } from "../../docs/assets/browser/sanitise.js";

const ADDRESSES = {
  "page.html": true,
  "#part": true,
  "../a:b": true,
  "https://example.org/": true,
  "mailto:a@example.org": true,
  "javascript:1": false,
  " \tJava\nScript:1": false,
  "\u0001javascript:1": false,
  "data:text/html,x": false,
  "vbscript:1": false,
  "blob:http://x": false,
};

for (const [address, isSafe] of Object.entries(ADDRESSES)) {
  test(`addresses that could run are known: ${JSON.stringify(address)}`, () => assert.equal(isSafeAddress(address), isSafe));
}
