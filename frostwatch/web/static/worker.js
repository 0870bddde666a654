// Serves a round that was opened before when there is no signal. It keeps pages of rounds and the
// files they load, and nothing else.
"use strict";

const KEPT = "frostwatch-walk-1";
const PATIENCE_MS = 600;
const RELOAD_PATIENCE_MS = 4000;
const ROUND = /^\/walk\/\d{6}$/;

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((n) => n !== KEPT).map((n) => caches.delete(n))))
      .then(() => self.clients.claim()),
  );
});

// The page that a form was sent for: what follows is the answer to it, and nothing kept is.
let sentFor = "";

self.addEventListener("fetch", (event) => {
  const request = event.request;
  const address = new URL(request.url);
  if (request.mode === "navigate" && request.method === "POST") sentFor = event.resultingClientId;
  if (request.method !== "GET" || address.origin !== self.location.origin) return;
  if (request.mode === "navigate" && ROUND.test(address.pathname)) {
    event.respondWith(round(event, address.pathname));
  } else if (address.pathname.startsWith("/static/") && address.search) {
    event.respondWith(fixed(request));
  }
});

// the page says which files it needs as soon as it is open
self.addEventListener("message", (event) => {
  if (!event.data || !Array.isArray(event.data.keep)) return;
  event.waitUntil(caches.open(KEPT).then((kept) => Promise.all(event.data.keep.map((a) => add(kept, a)))));
});

async function add(kept, address) {
  if (await kept.match(address)) return;
  try {
    const answer = await fetch(address);
    if (answer.ok && !answer.redirected) await kept.put(address, answer);
  } catch {
    // no signal just now: the page asks again when it is opened next
  }
}

async function round(event, path) {
  const request = event.request;
  const kept = await caches.open(KEPT);
  const before = await kept.match(path);
  const whole = fetched(request, kept, path);
  if (!before) return whole;
  if (sentFor && sentFor === event.resultingClientId) return whole.catch(() => before);
  // browsers that do not say whether it is a reload wait as for one
  const patience = request.isReloadNavigation === false ? PATIENCE_MS : RELOAD_PATIENCE_MS;
  let shown = false;
  event.waitUntil(
    whole.then((answer) => shown && answer.ok && say(event.resultingClientId)).catch(() => {}),
  );
  try {
    const answer = await inTime(whole, patience);
    if (answer.status < 500) return answer;
  } catch {
    // no signal, or not in time
  }
  shown = true;
  return before;
}

// A page counts as here when all of it is: its last line may be as late as its first.
async function fetched(request, kept, path) {
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected && request.url.endsWith(path)) {
    await kept.put(path, answer.clone()).catch((fault) => {
      if (fault.name !== "QuotaExceededError") throw fault;
    });
  }
  return answer;
}

// What came too late is kept for the next opening; the page that was shown instead asks anew.
async function say(id) {
  const page = await self.clients.get(id);
  page?.postMessage({ late: true });
}

function inTime(answer, patience) {
  const late = new Promise((_, fail) => setTimeout(() => fail(new Error("no signal")), patience));
  return Promise.race([answer, late]);
}

async function fixed(request) {
  const kept = await caches.open(KEPT);
  const before = await kept.match(request);
  if (before) return before;
  const answer = await fetch(request);
  if (answer.ok) await kept.put(request, answer.clone());
  return answer;
}
