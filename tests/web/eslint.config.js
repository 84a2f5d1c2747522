// How the scripts of the pages, and their tests, should read.
import globals from "globals";
import js from "@eslint/js";

/** What the pages use of the browser; whatever else it has by a bare name is a slip, such as `name`, `event` or `status`. */
const USED = [
  "addEventListener", "clearTimeout", "crypto", "CSS", "devicePixelRatio", "document", "Element", "fetch", "FormData",
  "history", "HTMLButtonElement", "HTMLElement", "HTMLFormElement", "HTMLInputElement", "HTMLSelectElement", "Image",
  "innerHeight", "innerWidth", "localStorage", "location", "matchMedia", "navigator", "performance", "requestAnimationFrame", "screen",
  "scrollTo", "sessionStorage", "setTimeout", "URL", "URLSearchParams", "WebSocket", "window",
];

/** What modules use that know no page, so that they run without a browser. */
const USED_WITHOUT_PAGE = ["URLSearchParams"];

const WITHOUT_PAGE = [
  "src/web/calm.js", "src/web/exam/coverage.js", "src/web/exam/layout.js", "src/web/panel/touch.js",
  "src/web/panel/wishes.js", "src/web/practice/curve.js",
  "src/web/practice/code.js", "src/web/practice/model.js", "src/web/practice/progress.js", "src/web/practice/state.js", "src/web/practice/verdict.js",
];

const allBut = (used) => Object.keys(globals.browser).filter((one) => !used.includes(one));

export default [
  js.configs.recommended,
  {
    languageOptions: { globals: globals.browser },
    linterOptions: { reportUnusedDisableDirectives: true },
    rules: {
      "eqeqeq": "error",
      "max-lines-per-function": ["error", { max: 30, skipBlankLines: true, skipComments: true }],
      "no-implicit-globals": "error",
      "no-restricted-globals": ["error", ...allBut(USED)],
      "no-shadow": ["error", { builtinGlobals: true }],
      "no-use-before-define": ["error", { functions: false, variables: false }],
      "no-var": "error",
      "prefer-const": "error",
    },
  },
  { files: WITHOUT_PAGE, rules: { "no-restricted-globals": ["error", ...allBut(USED_WITHOUT_PAGE)] } },
  // A run of a rule takes a loop that ends inside; a file of tests is one list of functions.
  { files: ["tests/web/**"], rules: { "no-restricted-globals": "off", "max-lines-per-function": "off" } },
];
