// How the scripts are written. What things are, `tsc` checks: site_src/jsconfig.json.
import js from "@eslint/js";

export default [
  { ignores: ["**/vendor/", "**/node_modules/"] },
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: "error" },
    languageOptions: { ecmaVersion: 2022, sourceType: "module" },
    rules: {
      // The type checker knows what a browser has.
      "no-undef": "off",
      "no-var": "error",
      "prefer-const": "error",
      "no-shadow": "error",
      "no-param-reassign": "error",
      "no-implicit-coercion": "error",
      "no-else-return": "error",
      "no-useless-return": "error",
      "no-useless-rename": "error",
      "no-useless-concat": "error",
      "no-unneeded-ternary": "error",
      "no-loop-func": "error",
      "no-throw-literal": "error",
      "no-return-assign": "error",
      "no-sequences": "error",
      "no-template-curly-in-string": "error",
      "no-self-compare": "error",
      "no-constructor-return": "error",
      "no-promise-executor-return": "error",
      "no-unused-expressions": "error",
      "no-unmodified-loop-condition": "error",
      "array-callback-return": "error",
      "default-case-last": "error",
      "object-shorthand": "error",
      "prefer-template": "error",
      "prefer-object-has-own": "error",
      "prefer-regex-literals": "error",
      "prefer-rest-params": "error",
      "prefer-spread": "error",
      "symbol-description": "error",
      "require-await": "error",
      eqeqeq: "error",
      yoda: "error",
      // Text from entries never becomes markup or code.
      "no-eval": "error",
      "no-implied-eval": "error",
      "no-new-func": "error",
      "no-script-url": "error",
      "no-restricted-properties": [
        "error",
        ...["innerHTML", "outerHTML", "insertAdjacentHTML", "write", "writeln", "setHTMLUnsafe", "createContextualFragment"].map(
          (property) => ({ property, message: "Make elements with html() or svg() of common/elements.js." }),
        ),
      ],
    },
  },
];
