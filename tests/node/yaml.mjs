// Reads YAML documents with an independent reader and prints each as JSON, one line each; "null" and the
// reason where it refuses. Usage: node yaml.mjs FILE…
import { readFileSync } from "node:fs";
import { parse } from "yaml";

for (const path of process.argv.slice(2)) {
  try {
    console.log(JSON.stringify({ value: parse(readFileSync(path, "utf8"), { version: "1.2", schema: "failsafe" }) }));
  } catch (error) {
    console.log(JSON.stringify({ refused: String(error.message).split("\n")[0] }));
  }
}
