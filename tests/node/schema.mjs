// Holds every record of the shop against its generated schema with an independent validator (ajv) and an
// independent YAML reader (yaml). Usage: node schema.mjs SHOP. Prints one line for each record that fails.
import Ajv2020 from "ajv/dist/2020.js";
import { existsSync, readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { parse } from "yaml";

const shop = process.argv[2];
const folders = {
  fork: "specs/forks", family: "specs/families", oil: "specs/oils", tool: "specs/tools",
  service: "procedures/services", procedure: "procedures", caution: "procedures/cautions",
  complaint: "procedures/complaints", spring: "specs/springs", build: "specs/builds",
  valving: "specs/valvings", job: "specs/jobs",
};
const ajv = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, allowUnionTypes: true, strictRequired: false });
let seen = 0, failed = 0;
const check = (validate, path, text) => {
  seen += 1;
  const record = parse(text, { version: "1.2", uniqueKeys: true });
  if (!validate(record)) {
    failed += 1;
    for (const error of validate.errors) console.log(`${path}: ${error.instancePath} ${error.message}`);
  }
};
for (const [kind, folder] of Object.entries(folders)) {
  const schema = JSON.parse(readFileSync(join(shop, `specs/schema/${kind}.schema.json`), "utf8"));
  const validate = ajv.compile(schema);
  // A shop may have no complaints, no stock, no builds and no jobs.
  if (["complaint", "spring", "build", "valving", "job"].includes(kind) && !existsSync(join(shop, folder))) continue;
  for (const name of readdirSync(join(shop, folder), { recursive: kind === "job" }).sort()) {
    if (folder === "procedures" && name === "conditions.yaml") continue;
    if (!/\.(yaml|md)$/.test(name)) continue;
    const text = readFileSync(join(shop, folder, name), "utf8");
    check(validate, `${folder}/${name}`, name.endsWith(".md") ? text.split(/^---$/m)[1] : text);
  }
}
for (const [kind, path] of [["shop", "specs/shop.yaml"], ["conditions", "procedures/conditions.yaml"], ["released", "specs/released.yaml"], ["reviews", "specs/reviews.yaml"]]) {
  // A shop that has released no card and reviewed no text yet has no such files.
  if (["released", "reviews"].includes(kind) && !existsSync(join(shop, path))) continue;
  const validate = ajv.compile(JSON.parse(readFileSync(join(shop, `specs/schema/${kind}.schema.json`), "utf8")));
  check(validate, path, readFileSync(join(shop, path), "utf8"));
}
console.log(`${seen} records, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
