// The end of a walk: photographs that are still on this phone are named and sent; handing back waits.
const own = document.querySelector("script[data-photos]").dataset;
const { photographs, photoWords } = await import(own.photos);
const { fill } = await import(own.draw);

const AGAIN_MS = 15000;
const state = JSON.parse(document.getElementById("round").textContent);
const place = document.getElementById("photos-left");
let token = state.token;

const bag = photographs(state.code, {
  token: () => token,
  time: () => new Date(Date.now() + 1000 * (state.ahead_s || 0)).toISOString(),
  heavy: () => state.words.photoHeavy,
  waits: () => false,
  told: tell,
  renew: async () => {
    const answer = await fetch(`/walk/${state.code}/state`, { redirect: "manual" });
    if (answer.ok) token = (await answer.json()).token;
  },
});

function tell() {
  const text = photoWords(bag, state.words, fill);
  if (place.textContent !== text) place.textContent = text;
}

function send() {
  if (bag.kept.length) bag.send();
}

await bag.load();
tell();
document.documentElement.dataset.ready = "";
send();
window.addEventListener("online", send);
document.addEventListener("visibilitychange", send);
setInterval(send, AGAIN_MS);
document.querySelector("form.back")?.addEventListener("submit", (event) => {
  if (!bag.kept.length) return;
  event.preventDefault();
  send();
});
