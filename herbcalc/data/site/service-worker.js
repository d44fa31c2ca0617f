// Keeps the whole site in the browser, so that it opens without a network.
//
// A file is only ever kept where its sha256 is the one that this worker was made with, and the kept files are used only
// once all of them are there. So one page never meets files of two releases: a newer site comes with a newer worker,
// which fills a cache of its own, waits until the last page of the older one is closed, and then takes its place.
//
// JupyterLite's own worker, which carries files between a page and the Python in it, is loaded behind this one and sees
// what this one leaves alone.

const FILES = "FILES"; // path: sha256, of every file of the site
const RELEASE = "RELEASE";
const NAME = "herbcalc-site ";
const HERE = new URL("./", self.location).pathname;
const LEASE = 10000; // ms for which a page may keep the others waiting
const CALM = 10000; // ms for which no lesson may have asked for a file before the rest is fetched

const kept = () => caches.open(NAME + RELEASE);
const hex = (bytes) => [...new Uint8Array(bytes)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
const pause = (time) => new Promise((next) => setTimeout(next, time));

// The site's name for what is asked for; null where that is no matter of the site's files.
const place = ({ method, url }) => {
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== self.location.origin || !pathname.startsWith(HERE)) return null;
  const name = decodeURIComponent(pathname.slice(HERE.length));
  return name === "" || name.endsWith("/") ? `${name}index.html` : name;
};

// Keep a file, if it is the one that belongs to this release.
const keep = async (name, answer) => {
  const held = await answer.clone().arrayBuffer();
  if (!answer.ok || hex(await crypto.subtle.digest("SHA-256", held)) !== FILES[name]) return false;
  // With the host's own answer the browser also keeps what it has compiled of a script. One that came by a detour opens
  // no page, and one that is never twice the same is not kept as it is.
  const headers = { "Content-Type": answer.headers.get("Content-Type") ?? "application/octet-stream" };
  const plain = answer.redirected || answer.headers.get("Vary") === "*";
  await (await kept()).put(HERE + name, plain ? new Response(held, { headers }) : answer);
  (await lacking()).delete(name);
  return true;
};

// The files that are not kept yet; the release is whole when there is none.
let looked = null;
let absent = null; // the same, once it is known
const lacking = () => {
  looked ??= (async () => {
    const there = new Set((await (await kept()).keys()).map(({ url }) => place({ method: "GET", url })));
    absent = new Set(Object.keys(FILES).filter((name) => !there.has(name)));
    return absent;
  })();
  return looked;
};

// A page that opens a lesson has the network and the computer to itself.
let asked = 0; // when one has last asked for a file
const calm = async () => {
  while (Date.now() < asked + CALM) await pause(asked + CALM - Date.now());
};

// What an older release has kept and this one has as well is taken from there.
const before = async (name) => {
  const found = await caches.match(HERE + name, { ignoreVary: true });
  return found !== undefined && (await keep(name, found));
};

// Fetch what is not kept yet, a few at a time; `tell` hears how many are still to come. False where it is not to be had.
let filling = null;
const fill = (tell = () => {}) => {
  filling ??= (async () => {
    const todo = [...(await lacking())];
    let left = todo.length;
    const one = async () => {
      for (let name = todo.pop(); name !== undefined; name = todo.pop()) {
        await calm();
        const path = HERE + name.split("/").map(encodeURIComponent).join("/");
        if (!(await before(name)) && !(await keep(name, await fetch(path, { cache: "no-cache" })))) return false;
        left -= 1;
        tell({ left, of: Object.keys(FILES).length });
      }
      return true;
    };
    return (await Promise.all([one(), one(), one(), one()])).every((done) => done);
  })().finally(() => (filling = null));
  return filling;
};

self.addEventListener("install", (event) => {
  event.stopImmediatePropagation(); // JupyterLite's would take the place of the older worker at once
  if (!self.registration.active) return; // the first time a page waits for this worker
  event.waitUntil(
    fill().then((done) => {
      if (!done) throw new Error("The site was changed while it was fetched");
    }),
  );
});

self.addEventListener("activate", (event) => {
  event.stopImmediatePropagation();
  const tidy = async () => {
    const others = (await caches.keys()).filter((name) => name.startsWith(NAME) && name !== NAME + RELEASE);
    await Promise.all(others.map((name) => caches.delete(name)));
    await lacking();
    await self.clients.claim();
  };
  event.waitUntil(tidy());
});

const answer = async (event, name) => {
  if ((await lacking()).size) return fetch(event.request);
  if (!(name in FILES)) return new Response("", { status: 404 });
  return (await (await kept()).match(HERE + name, { ignoreVary: true })) ?? fetch(event.request);
};

// A browser lends no lock on a file, and Python cannot wait for a promise. But it can ask here, and is answered when it
// is its turn: two pages that change one file do it one after the other. A page that is gone ends its turn by the clock.
const TURN = `${HERE}api/herbcalc/turn/`;
const lines = new Map(); // file: a promise that is kept when the last in its line has done
const turns = new Map(); // ticket: what ends that turn

const turn = async (file, ticket) => {
  const before = lines.get(file);
  let end;
  const mine = new Promise((done) => (end = done));
  lines.set(file, mine);
  await before;
  turns.set(ticket, end);
  setTimeout(end, LEASE);
  return new Response("");
};

const over = (ticket) => {
  turns.get(ticket)?.();
  turns.delete(ticket);
  return new Response("");
};

self.addEventListener("fetch", (event) => {
  const { pathname, searchParams } = new URL(event.request.url);
  if (pathname.startsWith(TURN)) {
    const ticket = searchParams.get("ticket");
    event.stopImmediatePropagation();
    event.respondWith(event.request.method === "DELETE" ? over(ticket) : turn(pathname, ticket));
    return;
  }
  const name = place(event.request);
  if (name === null || name === "service-worker.js") return;
  if (name.startsWith("api/drive") || name.startsWith("api/stdin/")) return;
  event.stopImmediatePropagation();
  if (absent?.size) {
    // The browser fetches it as if there were no worker, which takes less.
    if (name !== "index.html") asked = Date.now();
    event.waitUntil(fill());
    return;
  }
  event.respondWith(answer(event, name));
});

// A page asks how far it is, and that it goes on.
self.addEventListener("message", (event) => {
  if (event.data !== "herbcalc: keep the site") return;
  const tell = (state) => event.source.postMessage({ site: RELEASE, ...state });
  event.waitUntil(
    fill(tell).then(
      (done) => tell({ done }),
      () => tell({ done: false }),
    ),
  );
});

importScripts("jupyterlite-worker.js");
