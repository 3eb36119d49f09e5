// What a language server for YAML offers in a record: asked over its standard input and output.
// usage: node complete.mjs SHOP < cases.json
// Each case is {file, text}; the place that is asked about stands in the text as ‸. Prints a list of lists of what
// would be inserted.
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { readFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const shop = resolve(process.argv[2]);
const cases = JSON.parse(readFileSync(0, "utf8"));
const here = createRequire(import.meta.url);
const server = join(dirname(here.resolve("yaml-language-server/package.json")), "bin/yaml-language-server");
const child = spawn(process.execPath, [server, "--stdio"], { stdio: ["pipe", "pipe", "inherit"] });

let next = 1;
const waiting = new Map();
const send = (message) => {
  const body = JSON.stringify({ jsonrpc: "2.0", ...message });
  child.stdin.write(`Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
};
const ask = (method, params) =>
  new Promise((done, failed) => {
    waiting.set(next, { done, failed });
    send({ id: next++, method, params });
  });

let buffer = Buffer.alloc(0);
child.stdout.on("data", (chunk) => {
  buffer = Buffer.concat([buffer, chunk]);
  for (;;) {
    const head = buffer.indexOf("\r\n\r\n");
    if (head < 0) return;
    const length = Number(/Content-Length: (\d+)/i.exec(buffer.subarray(0, head).toString())[1]);
    if (buffer.length < head + 4 + length) return;
    const message = JSON.parse(buffer.subarray(head + 4, head + 4 + length).toString());
    buffer = buffer.subarray(head + 4 + length);
    if (message.method && message.id !== undefined) {
      // The server asks for its settings; nothing is fetched from anywhere.
      const settings = { schemaStore: { enable: false }, completion: true, validate: true };
      const of = (item) => (item.section === "yaml" ? settings : null);
      send({ id: message.id, result: message.params?.items ? message.params.items.map(of) : null });
    } else if (waiting.has(message.id)) {
      const { done, failed } = waiting.get(message.id);
      waiting.delete(message.id);
      message.error ? failed(new Error(message.error.message)) : done(message.result);
    }
  }
});

const root = pathToFileURL(shop).href;
await ask("initialize", {
  processId: process.pid,
  rootUri: root,
  workspaceFolders: [{ uri: root, name: "shop" }],
  capabilities: { workspace: { configuration: true }, textDocument: { completion: {} } },
});
send({ method: "initialized", params: {} });

const offered = [];
for (const { file, text } of cases) {
  const at = text.indexOf("‸");
  const before = text.slice(0, at).split("\n");
  const uri = pathToFileURL(join(shop, file)).href;
  const written = text.slice(0, at) + text.slice(at + 1);
  send({
    method: "textDocument/didOpen",
    params: { textDocument: { uri, languageId: "yaml", version: 1, text: written } },
  });
  const answer = await ask("textDocument/completion", {
    textDocument: { uri },
    position: { line: before.length - 1, character: before.at(-1).length },
  });
  const items = Array.isArray(answer) ? answer : (answer?.items ?? []);
  offered.push(items.map((item) => item.textEdit?.newText ?? item.insertText ?? item.label));
  send({ method: "textDocument/didClose", params: { textDocument: { uri } } });
}
console.log(JSON.stringify(offered));
child.kill();
