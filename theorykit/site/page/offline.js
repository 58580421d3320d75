// The files of the site, kept in the browser: what was fetched once is not fetched again, and when a
// page is quiet the rest comes, so that it works without a network. Another build of the site
// is another store. What is asked of the reader's own files goes on to the worker of the drive.

const { build, first, later } = SITE;
// The stores of a browser are those of all sites of an address: ours are told by their folder.
const MINE = `theorykit ${new URL(self.registration.scope).pathname} `;
const STORE = MINE + build;
const QUIET = 90000, SOON = 3000; // milliseconds without a question: while a chapter is open, else
const LOOK = 1000; // milliseconds between two looks
const AT_ONCE = 3; // files that are fetched at the same time
const known = new Set([...first, ...later]);
const here = name => new URL(name, self.registration.scope).href;
let asked = Date.now(), filling = null;

// Until it is done, what pages ask for is held back: nothing that takes long belongs here.
self.addEventListener("activate", event => event.waitUntil(leaveOld()));

// The front page asks for all files as long as not all are here.
self.addEventListener("message", event => event.waitUntil(fill()));

self.addEventListener("fetch", event => {
  const name = nameOf(event.request);
  if (!known.has(name)) return;
  asked = Date.now();
  event.stopImmediatePropagation();
  event.respondWith(answer(name));
  event.waitUntil(fill());
});

// The name of a file of the site; a folder's is that of its page.
function nameOf({ method, url }) {
  const { origin, pathname } = new URL(url);
  const scope = new URL(self.registration.scope);
  if (method !== "GET" || origin !== scope.origin || !pathname.startsWith(scope.pathname)) return null;
  const name = decodeURIComponent(pathname.slice(scope.pathname.length));
  return name === "" || name.endsWith("/") ? `${name}index.html` : name;
}

// A browser that keeps nothing, or has no room, is served all the same.
async function answer(name) {
  const store = await caches.open(STORE).catch(() => null);
  const kept = await store?.match(here(name));
  if (kept) return kept;
  const came = await fetch(ofThisBuild(name));
  if (came.status === 200) store?.put(here(name), came.clone()).catch(tell);
  return came;
}

// What the browser has of another build is not taken for that of this one.
function ofThisBuild(name) {
  return new Request(here(name), { cache: "no-cache" });
}

function tell(problem) {
  console.info(`not all files of the site are kept yet: ${problem.message}`);
}

async function leaveOld() {
  const names = await caches.keys();
  const old = names.filter(name => name.startsWith(MINE) && name !== STORE);
  await Promise.all(old.map(name => caches.delete(name)));
}

function fill() {
  filling ??= fillUp().finally(() => { filling = null; });
  return filling;
}

// Waits until nobody asks: Python in a chapter takes long to start, and what is fetched beside it
// would be taken from it. On the front page nothing starts.
async function quiet() {
  for (;;) {
    const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
    const starts = pages.some(({ url }) => nameOf({ method: "GET", url }) !== "index.html");
    if (Date.now() > asked + (starts ? QUIET : SOON)) return;
    await new Promise(go => setTimeout(go, LOOK));
  }
}

// Fetches what is still missing, once nobody asks; without a network it is tried another time.
async function fillUp() {
  const store = await caches.open(STORE);
  if (await store.match(here(WHOLE))) return;
  await quiet();
  const there = new Set((await store.keys()).map(({ url }) => url));
  const missing = first.filter(name => !there.has(here(name)));
  const fetchNext = async () => {
    for (let name = missing.pop(); name !== undefined; name = missing.pop()) {
      await quiet();
      await store.add(ofThisBuild(name));
    }
  };
  try {
    await Promise.all(Array.from({ length: AT_ONCE }, fetchNext));
    const worker = await (await fetch(self.location.href, { cache: "no-store" })).text();
    if (!worker.includes(build)) { // another site was put in its place while files came
      await caches.delete(STORE);
      throw new Error("the site was changed meanwhile");
    }
    await store.put(here(WHOLE), new Response("true"));
  } catch (problem) {
    tell(problem);
  }
}

importScripts(DRIVE);
