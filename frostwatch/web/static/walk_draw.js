// The stop one stands at, and the rows of the others, drawn from the round as it is kept.
// A text with its placeholders filled.
export function fill(text, values) {
  return text.replace(/\{(\w+)\}/g, (all, name) => values[name] ?? all);
}

export function el(tag, values, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(values || {})) {
    if (name === "on") made.addEventListener("click", value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value != null) made.setAttribute(name, value);
  }
  made.append(...inside.filter((one) => one != null && one !== ""));
  return made;
}

function mark(wet) {
  const drawn = el("span", {
    class: "vessel",
    "data-state": wet.look,
    "data-evidence": wet.edge,
    "aria-hidden": "true",
  });
  if (wet.share != null) drawn.style.setProperty("--share", wet.share);
  return drawn;
}

function button(words, kind, work) {
  return el("button", { type: "button", class: `btn ${kind}`, on: work }, words);
}

export function panel(stop, at) {
  const words = at.words;
  const parts = [
    el(
      "div",
      { class: "here-bay" },
      el("h2", { id: "bay", tabindex: "-1", class: stop.bay.length > 8 ? "long" : null }, stop.bay),
      el("p", null, el("b", null, stop.key || words.noKey), stop.about),
    ),
    el("p", { class: "here-job" }, stop.job),
  ];
  if (stop.late) parts.push(el("p", { class: "small" }, words.late));
  if (stop.minds) parts.push(el("p", { class: "minds" }, stop.minds));
  if (at.asking === "part" && !stop.late) parts.push(...partOf(stop, at));
  else if (at.asking === "why") parts.push(...whyOf(stop, at));
  else parts.push(...wholeOf(stop, at));
  const drawn = el("section", { class: "here", id: "here", "aria-labelledby": "bay" }, ...parts);
  if (stop.late) drawn.dataset.late = "";
  return drawn;
}

function wholeOf(stop, at) {
  const words = at.words;
  const wet = stop.wet.map((one) =>
    el(
      "li",
      null,
      mark(one),
      el("span", null, el("b", null, one.name), one.where ? el("span", { class: "where" }, one.where) : null),
    ),
  );
  const others = el("div", { class: "pair" });
  if (!stop.late) others.append(button(words.part, "", () => at.ask("part")));
  others.append(button(words.couldNot, "", () => at.ask("why")));
  return [
    el("ul", { class: "wet" }, ...wet),
    el(
      "div",
      { class: "press" },
      button(stop.done_word, "btn-main btn-glove", () => at.press(stop, { kind: stop.done_kind })),
      others,
    ),
    photoOf(stop, at),
  ];
}

// The camera of the phone; what was taken shows as a number.
function photoOf(stop, at) {
  const input = el("input", { id: "photo", type: "file", class: "hear", accept: at.takes, capture: "environment" });
  input.addEventListener("click", () => at.choose(true));
  input.addEventListener("cancel", () => at.choose(false));
  input.addEventListener("change", () => {
    const [file] = input.files;
    input.value = ""; // so that the same one may be chosen again
    if (file) at.photo(stop, file);
  });
  return el(
    "p",
    { class: "take" },
    el("label", { class: "btn btn-plain" }, at.words.photo, input),
    el("span", { class: "small", id: "photos-here" }, at.taken(stop)),
  );
}

function partOf(stop, at) {
  const words = at.words;
  const boxes = stop.wet.map((one) =>
    el(
      "label",
      { class: "choice" },
      el("input", { type: "checkbox", name: "vessel", value: one.vessel }),
      mark(one),
      el("span", null, one.name),
    ),
  );
  const wrong = el("p", { class: "wrong", id: "part-wrong", role: "alert", hidden: true });
  const set = el("fieldset", { class: "field" }, el("legend", null, words.legendPart), wrong, ...boxes);
  const chosen = () => [...set.querySelectorAll(":checked")].map((box) => box.value);
  const tell = (text) => {
    wrong.hidden = !text;
    wrong.textContent = text;
    if (text) set.setAttribute("aria-describedby", "part-wrong");
    else set.removeAttribute("aria-describedby");
  };
  set.addEventListener("change", () => chosen().length && tell(""));
  const keep = () => {
    const vessels = chosen();
    if (vessels.length) return at.press(stop, { kind: "part", vessels });
    tell(words.nothing);
    set.querySelector("input")?.focus();
  };
  return [
    set,
    el(
      "div",
      { class: "press" },
      button(words.keep, "btn-main btn-glove", keep),
      button(words.back, "btn-plain", () => at.ask("")),
    ),
  ];
}

function whyOf(stop, at) {
  const words = at.words;
  const note = el("input", { id: "note", maxlength: "300", autocomplete: "off" });
  const whys = Object.entries(words.whys).map(([why, text]) =>
    button(text, "", () => at.press(stop, { kind: "could not", obstacle: why, note: note.value.trim() })),
  );
  return [
    el("fieldset", { class: "whys" }, el("legend", null, words.legendWhy), ...whys),
    el("p", { class: "field" }, el("label", { for: "note" }, words.note), note),
    el("div", { class: "press" }, button(words.back, "btn-plain", () => at.ask(""))),
  ];
}

export function row(stop, at) {
  if (stop.press_id) {
    const again = button(at.words.undo, "btn-plain go", () => at.undo(stop));
    again.append(el("span", { class: "hear" }, ` ${stop.bay}`));
    return el(
      "div",
      { class: "line", "data-done": true },
      el("b", null, stop.bay),
      el("span", { class: "small" }, stop.pressed),
      again,
    );
  }
  const job = el("span", { class: "small" }, stop.job);
  if (stop.added) job.append(" ", el("span", { class: "soft" }, fill(at.words.added, { at: stop.added })));
  if (stop.below) job.append(" ", el("span", { class: "soft" }, stop.below));
  const open = (event) => {
    event.preventDefault();
    at.open(stop);
  };
  return el(
    "a",
    { class: "line", href: `?stop=${encodeURIComponent(stop.vehicle)}#here`, on: open },
    el("b", null, stop.bay),
    job,
    el("span", { class: "small soft" }, stop.minutes),
  );
}
