// Keys that go from stop to stop on the round, for whoever switched them on. They act only while
// the focus is in the list, so that no key means something else elsewhere on the page.
"use strict";

const list = document.querySelector("table.round");
const STEPS = { j: 1, ArrowDown: 1, k: -1, ArrowUp: -1 };

if (list) {
  list.addEventListener("keydown", (event) => {
    const step = STEPS[event.key];
    if (!step || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
    const stops = [...list.querySelectorAll("tr.stop th a")];
    const row = event.target.closest("tr");
    const at = stops.findIndex((stop) => stop.closest("tr") === row);
    const next = at < 0 ? nearest(stops, row, step) : stops[at + step];
    event.preventDefault();
    if (next) next.focus();
  });
}

// from a row that needs nobody, the next stop on that side
function nearest(stops, row, step) {
  const side = step > 0 ? Node.DOCUMENT_POSITION_FOLLOWING : Node.DOCUMENT_POSITION_PRECEDING;
  const found = stops.filter((stop) => row.compareDocumentPosition(stop) & side);
  return step > 0 ? found[0] : found[found.length - 1];
}
