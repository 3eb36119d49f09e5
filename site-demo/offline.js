// Keeps pages on a device that opened them, so that they can be read without a network. The network goes first. What is
// kept is of one build: a new build replaces all of it, or nothing.
"use strict";
const TOP = new URL("./", self.location.href).href;
const EDITION = TOP + "edition.json";
// One store says which build is kept; each build has a store of its own.
const DESK = "benchleaf " + TOP;
const store = (edition) => DESK + " " + edition;
// How long a slow network is waited for where the page is kept.
const PATIENCE = 4000;

// A page's address without what follows ? and #.
function plain(address) {
  const url = new URL(address);
  return url.origin + url.pathname + (url.pathname.endsWith("/") ? "index.html" : "");
}

// Which build is published now.
async function published() {
  const answer = await fetch(EDITION, { cache: "no-store" });
  if (!answer.ok) throw new Error("no edition");
  // A working copy is never kept.
  if (/no-store/.test(answer.headers.get("cache-control") || "")) { await forget(); throw new Error("a working copy"); }
  return answer.json();
}

// Which build is kept; null: none.
async function kept() {
  // To open one that is not there would make it.
  if (!(await caches.has(DESK))) return null;
  const answer = await (await caches.open(DESK)).match(EDITION);
  return answer ? answer.json() : null;
}

async function forget() {
  for (const name of await caches.keys()) if (name === DESK || name.startsWith(DESK + " ")) await caches.delete(name);
  await self.registration.unregister();
}

// Puts a page into a store; false: there is no such page any more.
async function put(shelf, address) {
  const answer = await fetch(address, { cache: "no-cache" });
  if (answer.status === 404 || answer.status === 410) return false;
  if (!answer.ok) throw new Error(address);
  const type = answer.headers.get("content-type") || "application/octet-stream";
  // Made anew: one that was led on from another address could not be shown.
  await shelf.put(address, new Response(await answer.blob(), { headers: { "content-type": type } }));
  return true;
}

async function putAll(shelf, addresses) {
  const left = [...addresses];
  const work = async () => { while (left.length) await put(shelf, left.pop()); };
  await Promise.all([work(), work(), work(), work()]);
}

// A fork's page leads to its work and its cards: they are kept with it.
async function related(shelf, address) {
  const fork = /^forks\/([a-z0-9-]+)(?=[./])/.exec(address.slice(TOP.length));
  const page = fork && await shelf.match(address);
  if (!page) return [];
  const own = (path) => path.startsWith("forks/" + fork[1] + "/") || path.startsWith("cards/" + fork[1] + "--") || path === "forks/" + fork[1] + ".html";
  const links = [...(await page.text()).matchAll(/href="([^"#?]+)/g)].map((found) => plain(new URL(found[1], address).href));
  return [...new Set(links)].filter((link) => link.startsWith(TOP) && own(link.slice(TOP.length)));
}

// Takes the published build in the place of the one that is kept, with every page that was kept and these.
async function replace(held, more) {
  const now = await published();
  const name = store(now.edition);
  await caches.delete(name);
  const shelf = await caches.open(name);
  const old = held ? (await (await caches.open(store(held.edition))).keys()).map((request) => request.url) : [];
  await putAll(shelf, new Set([...now.first.map((path) => TOP + path), ...old, ...more]));
  for (const address of more) await putAll(shelf, await related(shelf, address));
  // Published anew meanwhile: pages of two builds. The next page begins again.
  if ((await published()).edition !== now.edition) { await caches.delete(name); return; }
  const day = new Date();
  const two = (number) => String(number).padStart(2, "0");
  const today = day.getFullYear() + "-" + two(day.getMonth() + 1) + "-" + two(day.getDate());
  await (await caches.open(DESK)).put(EDITION, new Response(JSON.stringify({ edition: now.edition, day: now.day || today })));
  for (const other of await caches.keys()) if (other.startsWith(DESK + " ") && other !== name) await caches.delete(other);
}

// One turn at a time: a page that is kept waits until a build has been replaced.
let turn = Promise.resolve();
function keep(addresses) {
  turn = turn.then(async () => {
    const [held, now] = [await kept(), await published()];
    if (!held || held.edition !== now.edition || !(await caches.has(store(held.edition)))) return replace(held, addresses);
    const shelf = await caches.open(store(held.edition));
    for (const address of addresses) {
      if (await put(shelf, address)) await putAll(shelf, (await related(shelf, address)));
    }
    // Published anew meanwhile.
    if ((await published()).edition !== held.edition) await replace(held, addresses);
  }).catch(() => { /* what was kept stays as it was */ });
  return turn;
}

// A page as it was kept, marked with its day; null: it is not kept.
async function fromStore(address) {
  const held = await kept();
  const answer = held && await (await caches.open(store(held.edition))).match(address);
  if (!answer) return null;
  const type = answer.headers.get("content-type");
  const marked = (text) => new Response(text, { headers: { "content-type": type } });
  if (address.endsWith("/assets/card-codes.js")) return marked("window.benchleafKept=" + JSON.stringify(held.day) + ";\n" + await answer.text());
  if (!address.endsWith(".html")) return answer;
  const note = "<p class=\"kept\" role=\"status\"><b>Kept on this device, as of " + held.day + ".</b> The shop’s site was not reached: what has changed since is not here.</p>";
  return marked((await answer.text())
    .replace(/<html/, () => "<html data-kept=\"" + held.day + "\"")
    .replace(/<body[^>]*>/, (body) => body + note));
}

function nothing() {
  const text = "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>Not kept</title><link rel=\"stylesheet\" href=\"" + TOP + "assets/style.css\"></head><body><main id=\"main\" class=\"wrap\"><h1>This page is not kept on this device</h1><p>The shop’s site was not reached. Pages that were opened before are here, and those of their forks.</p><p><a class=\"go\" href=\"" + TOP + "index.html\">Find the fork</a></p></main></body></html>";
  return new Response(text, { status: 503, headers: { "content-type": "text/html; charset=utf-8" } });
}

async function answer(event) {
  const address = plain(event.request.url), isPage = event.request.mode === "navigate";
  const network = fetch(new Request(event.request, { cache: "no-cache" }));
  const late = new Promise((done) => setTimeout(done, PATIENCE)).then(() => fromStore(address)).then((page) => page || network);
  try {
    const given = await Promise.race([network, late]);
    if (isPage && given.ok) event.waitUntil(keep([address]));
    return given;
  } catch (gone) {
    return (await fromStore(address)) || (isPage ? nothing() : Response.error());
  }
}

// The pages that are open: those that were opened before this was there to hear of it.
async function keepOpen() {
  const open = await clients.matchAll({ includeUncontrolled: true, type: "window" });
  return keep(open.map((page) => plain(page.url)).filter((address) => address.startsWith(TOP)));
}
self.addEventListener("install", (event) => { self.skipWaiting(); event.waitUntil(keepOpen()); });
self.addEventListener("activate", (event) => event.waitUntil(clients.claim().then(keepOpen)));
self.addEventListener("fetch", (event) => {
  const address = plain(event.request.url);
  if (event.request.method !== "GET" || !address.startsWith(TOP) || address === EDITION) return;
  event.respondWith(answer(event));
});
