// The rules of the JavaScript: those that ESLint recommends, and a few more. Its packages lie in .made/javascript.

import { createRequire } from "node:module";

const require = createRequire(new URL("../../.made/javascript/", import.meta.url));
const js = require("@eslint/js");
const globals = require("globals");

export default [
  { ignores: [".made/**"] },
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      eqeqeq: "error",
      "no-var": "error",
      "prefer-const": "error",
      "object-shorthand": "error",
      "no-shadow": "error",
      "no-else-return": "error",
      "no-throw-literal": "error",
      "no-implicit-coercion": "error",
      "array-callback-return": "error",
      "consistent-return": "error",
      "no-unused-vars": ["error", { argsIgnorePattern: "^_" }],
      "max-len": ["error", { code: 130, ignoreStrings: true, ignoreTemplateLiterals: true }],
    },
  },
  { files: ["docs/assets/browser/*.js"], languageOptions: { globals: globals.browser } },
  { files: ["docs/sw.js"], languageOptions: { globals: globals.serviceworker } },
  {
    files: ["build_scripts/browser/*.js", "docs/search_worker.js", "tests/browser_modules/fixture/worker.js"],
    languageOptions: { globals: globals.worker },
  },
  { files: ["**/*.mjs", "build_scripts/javascript/*.js"], languageOptions: { globals: globals.node } },
];
