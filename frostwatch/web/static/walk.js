// The walk without signal: each press is written to the phone first, then shown, then sent.
// Without this script every button is a form and works with signal.
const own = document.querySelector("script[data-store]").dataset;
const [
  { el, fill, panel, row },
  { photographs, photoWords },
  { forgetPress, keepPress, roundOf, settle, waiting },
] = await Promise.all([import(own.draw), import(own.photos), import(own.store)]);

const AGAIN_MS = 15000;
const FRESH_MS = 60000;
const shown = JSON.parse(document.getElementById("round").textContent);
const code = shown.code;
const line = document.querySelector("ol.walk");
const kept = document.getElementById("kept");

let state = shown;
let presses = [];
let here = new URLSearchParams(location.search).get("stop") || "";
let asking = "";
let signal = navigator.onLine;
let signedOut = false;
let sending = null;
let sentAt = shown.at;
let choosing = false;
let drawn = new Map();
let drawnWith = "";

const photos = photographs(code, {
  token: () => state.token,
  time,
  heavy: () => state.words.photoHeavy,
  renew: refresh,
  waits: () => Boolean(sending) || presses.some((one) => !one.refused),
  told: tell,
});

// --- words ----------------------------------------------------------------------------------

// What the clock of the round says now: that of this phone, but in the demo, whose clock may be set.
function time() {
  return new Date(Date.now() + 1000 * (state.ahead_s || 0)).toISOString();
}

function clock(moment) {
  const parts = { hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: state.zone };
  const text = new Intl.DateTimeFormat(state.language, parts).format(new Date(moment));
  return state.language === "fr" ? text.replace(":", "\u00a0h\u00a0") : text;
}

function said(press) {
  return fill(state.words.said[press.kind], {
    who: state.walker,
    at: clock(press.at),
    why: state.words.whys[press.obstacle] || "",
  });
}

// --- the round as it stands on this phone ------------------------------------------------------

function stops(pressed = presses) {
  const known = new Map(state.stops.map((stop) => [stop.vehicle, { ...stop }]));
  for (const press of pressed) {
    const stop = known.get(press.vehicle);
    if (!stop || press.refused) continue;
    if (press.kind === "undo") Object.assign(stop, { press_id: "", pressed: "", kind: "" });
    else Object.assign(stop, { press_id: press.id, pressed: said(press), kind: press.kind });
  }
  return [...known.values()];
}

function standing(all) {
  const open = all.filter((stop) => !stop.press_id);
  return open.find((stop) => stop.vehicle === here) || open[0] || null;
}

// --- the page ---------------------------------------------------------------------------------

function draw(move) {
  if (choosing && !move) return tell();
  choosing = false;
  const all = stops();
  const now = standing(all);
  lines(all, now);
  head(all, now);
  tell();
  if (move) {
    document.getElementById("here")?.scrollIntoView({ block: "start" });
    document.getElementById("bay")?.focus({ preventScroll: true });
  }
}

// What did not change stays as it is: nothing is taken from under a thumb that is about to press.
function lines(all, now) {
  const at = { words: state.words, takes: state.takes, asking, ask, press, undo, open, photo, choose, taken };
  const using = JSON.stringify([state.words, state.takes]);
  const before = using === drawnWith ? drawn : new Map();
  drawn = new Map();
  for (const stop of all) {
    const told = JSON.stringify(stop === now ? [stop, asking, taken(stop)] : [stop]);
    drawn.set(told, before.get(told) || listed(stop, stop === now ? panel(stop, at) : row(stop, at)));
  }
  drawnWith = using;
  const items = [...drawn.values()];
  const there = [...line.children];
  const others = items.filter((item, n) => item !== there[n]);
  if (others.length > 9 || items.length !== there.length) line.replaceChildren(...items);
  else items.forEach((item, n) => item === there[n] || there[n].replaceWith(item));
}

function listed(stop, what) {
  const number = el("b", null, stop.press_id ? "\u2713" : String(stop.number));
  if (stop.press_id) number.dataset.done = "";
  else if (stop.first) number.dataset.first = "";
  return el("li", null, el("div", { class: "spine" }, number), what);
}

function head(all, now) {
  const title = document.querySelector(".walk-top h1");
  const last = presses.length ? presses[presses.length - 1].at : state.at;
  title.textContent = now
    ? fill(state.words.head, { n: now.number, all: all.length })
    : fill(state.words.headDone, { at: clock(last) });
  const by = document.getElementById("by");
  by.replaceChildren();
  if (state.by) {
    const [before, after] = state.words.by.split("{by}");
    by.append(before, el("span", { class: "by" }, state.by), after || "");
  }
  if (state.was) by.append(" ", el("s", null, fill(state.words.was, { was: state.was })));
  document.getElementById("stale").textContent = state.stale;
}

// What is where, in words.
function tell() {
  const words = state.words;
  const refused = presses.filter((one) => one.refused);
  const waits = presses.length - refused.length;
  let text;
  if (signedOut && waits) text = fill(words.refused, { n: waits });
  else if (sending && waits) text = fill(words.sending, { n: waits });
  else if (waits) text = fill(words.kept[waits === 1 ? 0 : 1], { n: waits });
  else text = fill(words.sent, { at: clock(sentAt) });
  if (!signal && !signedOut) text = fill(words.noSignal, { what: waits ? text : words.none });
  if (refused.length) text += ` ${fill(words.notKept, { why: refused[0].refused })}`;
  const more = photoWords(photos, words, fill);
  if (more) text += text.endsWith(".") ? ` ${more}` : `. ${more}`;
  if (kept.textContent !== text) kept.textContent = text;
  document.documentElement.dataset.waits = String(waits);
}

function open(stop) {
  here = stop.vehicle;
  asking = "";
  draw(true);
}

function ask(what) {
  asking = what;
  draw(true);
}

// How many photographs there are of a stop, here and there.
function taken(stop) {
  const n = stop.photos + photos.of(stop.vehicle);
  return n ? fill(state.words.photosHere[n === 1 ? 0 : 1], { n }) : "";
}

async function photo(stop, file) {
  photos.refused = "";
  try {
    await photos.add({ id: newId(), vehicle: stop.vehicle, at: time() }, file);
  } catch {
    photos.refused = state.words.photoNoRoom;
  }
  choosing = false;
  if (asking) tell();
  else draw(false);
  if (standing(stops())?.vehicle === stop.vehicle && document.activeElement === document.body) {
    document.getElementById("photo")?.focus({ preventScroll: true });
  }
  send();
}

// While the camera is open nothing may be drawn anew under it.
function choose(open) {
  choosing = open;
}

// --- pressing ------------------------------------------------------------------------------------

function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(12));
  return [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
}

async function press(stop, values) {
  const made = {
    id: newId(),
    round: code,
    vehicle: stop.vehicle,
    at: time(),
    order: Date.now() + presses.length / 1000,
    ...values,
  };
  await keepPress(made);
  presses.push(made);
  const all = stops();
  const behind = all.filter((one) => !one.press_id && one.number > stop.number);
  here = behind.length && made.kind !== "undo" ? behind[0].vehicle : made.kind === "undo" ? stop.vehicle : "";
  asking = "";
  draw(true);
  photos.giveWay();
  send();
}

async function undo(stop) {
  const mine = presses.find((one) => one.id === stop.press_id);
  if (mine && !mine.tried) {
    await forgetPress(mine.id);
    presses = presses.filter((one) => one !== mine);
    here = stop.vehicle;
    draw(true);
    return;
  }
  await press(stop, { kind: "undo", undoes: stop.press_id });
}

// --- sending -------------------------------------------------------------------------------------

function send() {
  sending ??= post()
    .catch(() => {
      signal = false;
    })
    .finally(() => {
      sending = null;
      if (asking) tell();
      else draw(false);
      if (signal && !signedOut && presses.some((one) => !one.refused)) setTimeout(send, AGAIN_MS);
      else sendPhotos();
    });
  tell();
  return sending;
}

// Photographs go last: when nothing else is left on this phone.
async function sendPhotos() {
  if (!signal || !photos.kept.length) return;
  const before = photos.kept.length;
  if (!(await photos.send())) signal = false;
  else if (photos.kept.length < before && !photos.kept.length) await arrived();
  tell();
}

// What the server made of them; with every stop pressed the end of the walk follows.
async function arrived() {
  await refresh();
  if (!asking) draw(false);
  leave();
}

function leave() {
  const rest = presses.length || photos.kept.length;
  const over = !rest && state.stops.every((stop) => stop.press_id);
  if ((!state.closed || photos.kept.length) && !over) return;
  // a reload waits for the server's page; opening it shows what is kept here
  history.replaceState(null, "", `/walk/${code}`);
  location.reload();
}

async function post(again = false) {
  const out = presses.filter((one) => !one.refused);
  if (!out.length) return;
  for (const one of out.filter((press) => !press.tried)) {
    one.tried = true; // it may arrive although no answer comes back
    await keepPress(one);
  }
  const form = new FormData();
  form.set("form_token", state.token);
  form.set("sent_at", time());
  form.set("presses", JSON.stringify(out));
  const answer = await fetch(`/walk/${code}/presses`, { method: "POST", body: form, redirect: "manual" });
  signal = true;
  if ((answer.status === 400 || answer.status === 403) && !again) {
    await refresh();
    return post(true);
  }
  if (!answer.ok) {
    signedOut = answer.status < 500 && answer.status !== 429;
    return;
  }
  signedOut = false;
  const told = await answer.json();
  // a round that was handed back is told no more to whoever has its figures alone
  const now = told.state || { ...state, stops: stops(out.filter((one) => told.kept.includes(one.id))) };
  await settle(now, told.kept, told.refused);
  state = now;
  sentAt = time();
  presses = await waiting(code);
  if (told.state) leave();
}

// The round as the server knows it: what others pressed, stops that joined, a new hour.
async function refresh() {
  const answer = await fetch(`/walk/${code}/state`, { redirect: "manual" });
  signal = true;
  if (!answer.ok) {
    signedOut = answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 404;
    return;
  }
  signedOut = false;
  state = await answer.json();
  await settle(state, [], {});
}

async function look() {
  if (document.visibilityState !== "visible") return;
  try {
    if (presses.some((one) => !one.refused)) await send();
    else {
      await refresh();
      if (!asking) draw(false);
      sendPhotos();
    }
  } catch {
    signal = false;
    tell();
  }
}

async function begin() {
  const before = await roundOf(code);
  if (before && before.at > shown.at) state = before;
  else await settle(shown, [], {});
  presses = await waiting(code);
  await photos.load().catch(() => {});
  draw(false);
  document.documentElement.dataset.ready = "";
  navigator.storage?.persist?.();
  if (presses.length || photos.kept.length) send();
  window.addEventListener("online", look);
  window.addEventListener("offline", () => {
    signal = false;
    tell();
  });
  document.addEventListener("visibilitychange", look);
  // the server answered after all
  navigator.serviceWorker?.addEventListener("message", () => look().then(leave));
  setInterval(look, presses.length ? AGAIN_MS : FRESH_MS);
}

// Handing back waits for what is kept on this phone.
document.querySelector("form.back")?.addEventListener("submit", (event) => {
  if (!presses.some((one) => !one.refused) && !photos.kept.length) return;
  event.preventDefault();
  send();
});

begin();
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/walk-worker.js", { scope: "/walk/" }).then(
    () =>
      navigator.serviceWorker.ready.then((worker) => {
        const loaded = [...document.querySelectorAll("script[src], link[rel=stylesheet]")];
        const files = [...loaded.map((one) => one.src || one.href), own.draw, own.photos, own.store];
        worker.active.postMessage({ keep: [`/walk/${code}`, ...files] });
      }),
    () => {},
  );
}
