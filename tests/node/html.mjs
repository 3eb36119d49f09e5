// Holds pages against the HTML standard with an independent checker. Usage: node html.mjs FILE...
import { readFileSync } from "node:fs";
import { HtmlValidate, StaticConfigLoader } from "html-validate";

const loader = new StaticConfigLoader({
  root: true,
  extends: ["html-validate:standard"],
  rules: {
    // How the text is laid out in the file is no matter of validity.
    "no-trailing-whitespace": "off",
    // A title says what the page is about, however long the fork's name.
    "long-title": "off",
    "no-inline-style": "error",
  },
});
const checker = new HtmlValidate(loader);
let wrong = 0;
for (const file of process.argv.slice(2)) {
  const report = await checker.validateString(readFileSync(file, "utf8"), file);
  for (const result of report.results) {
    for (const m of result.messages) {
      wrong += 1;
      console.log(`${file}:${m.line}:${m.column} ${m.ruleId}: ${m.message}`);
    }
  }
}
process.exitCode = wrong === 0 ? 0 : 1;
