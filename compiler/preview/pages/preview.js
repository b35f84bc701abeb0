// Keeps the page up with the description, turns the trains, and saves loading pages anew. Every page works without it.
"use strict";

const root = document.body.dataset.root;
const still = window.matchMedia("(prefers-reduced-motion: reduce)");
const byId = (id) => document.getElementById(id);

// -- what is remembered while the page is open, from one page to the next -------------------------
const memory = {
  get(name) {
    try { return JSON.parse(sessionStorage.getItem(name)) ?? {}; } catch { return {}; }
  },
  put(name, value) {
    try { sessionStorage.setItem(name, JSON.stringify(value)); } catch { /* then it is not remembered */ }
  },
};

// -- keeping up -----------------------------------------------------------------------------------
let asked = 0;

// Puts what the server has now in the place of what is shown: all of the page, or only the parts named.
async function fresh(address, parts = ["page"]) {
  const turn = ++asked;
  const answer = await fetch(address, { cache: "no-store" });
  if (!answer.ok) throw new Error(String(answer.status));
  const got = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (turn !== asked) return false; // something newer was asked for meanwhile
  let focused = null;
  for (const id of [...parts, "pages", "clock"]) {
    const now = byId(id), next = got.getElementById(id);
    if (now && next) {
      if (now.contains(document.activeElement)) focused = whereIs(document.activeElement);
      now.replaceWith(document.adoptNode(next));
    }
  }
  document.title = got.title;
  dress();
  focused?.()?.focus({ preventScroll: true }); // once what the script shows is shown
  return true;
}

// How to find the same element again in the page that comes: by its id, or by what it stands for.
function whereIs(element) {
  if (element.id) return () => byId(element.id);
  const train = element.closest("[data-train]")?.dataset.train;
  const inside = train ? `[data-train="${CSS.escape(train)}"] ` : "";
  if (element.dataset.part) {
    const drawn = element.closest("svg") ? "svg " : "table ";
    return () => document.querySelector(`${inside}${drawn}a[data-part="${CSS.escape(element.dataset.part)}"]`);
  }
  if (element.className && typeof element.className === "string" && inside) {
    return () => document.querySelector(`${inside}.${element.className.split(" ").join(".")}`);
  }
  const href = element.getAttribute("href");
  return href ? () => document.querySelector(`main a[href="${CSS.escape(href)}"]`) : null;
}

// The place on the page: what stands at the top of the window, and how far from it.
function place() {
  for (const element of document.querySelectorAll("main [id], main tr[data-id]")) {
    const box = element.getBoundingClientRect();
    if (box.bottom > 0 && box.height > 0 && box.height < 4 * innerHeight && !element.closest("svg")) {
      const find = element.id
        ? () => byId(element.id)
        : () => document.querySelector(`main tr[data-id="${CSS.escape(element.dataset.id)}"]`);
      return { find, top: box.top, y: scrollY };
    }
  }
  return { find: () => null, top: 0, y: scrollY };
}

async function refresh() {
  const before = place();
  const open = [...document.querySelectorAll("main details[id]")].map((one) => [one.id, one.open]);
  const sought = byId("find")?.value ?? "";
  try {
    if (!(await fresh(location.href))) return;
  } catch (fault) {
    // A chapter that is there no longer: what is shown stays, and it is said.
    say(fault.message === "404" ? "This page is not there any more." : "The new version could not be shown.");
    return;
  }
  for (const [id, was] of open) {
    const one = byId(id);
    if (one) one.open = was;
  }
  if (sought && byId("find")) { byId("find").value = sought; find(); }
  const here = before.find();
  const y = here ? scrollY + here.getBoundingClientRect().top - before.top : before.y;
  window.scrollTo({ top: y, behavior: "instant" });
  say(`Brought up to date at ${new Date().toLocaleTimeString("en-GB")}.`);
}

function say(words) {
  byId("state").textContent = words;
}

// A click may have overtaken what a new version asked for.
let newest = "";
function keepUp() {
  if (newest && byId("page").dataset.version !== newest) refresh();
}

let events = null;
function listen() {
  events?.close();
  events = null;
  if (document.hidden) return; // a browser keeps only a few lines open; a page that is seen needs one
  events = new EventSource(`${root || "./"}events`);
  events.addEventListener("version", (event) => {
    newest = event.data;
    keepUp();
  });
  events.onopen = () => {
    if (document.body.classList.contains("ended")) say("The preview runs again.");
    document.body.classList.remove("ended");
  };
  events.onerror = () => {
    document.body.classList.add("ended");
    say("The preview has ended; what is shown is no longer kept up with the file. Start it again in the terminal.");
  };
}
document.addEventListener("visibilitychange", listen);
window.addEventListener("pagehide", () => events?.close());
window.addEventListener("pageshow", (event) => { if (event.persisted) listen(); });

// -- the trains that turn ---------------------------------------------------------------------------
const trains = new Map(); // id -> { playing, factor, seconds of the clock }
const FASTEST = 0.45; // of its division in one picture: beyond, teeth would seem to stand or go backwards
const PICTURES = 60; // in a second, as most screens have

function trainOf(section) {
  const id = section.dataset.train;
  if (!trains.has(id)) {
    const kept = memory.get("trains")[id];
    // What strikes runs only when asked; and nothing moves by itself for those who ask for less motion.
    const goes = !section.dataset.by && !still.matches;
    const speed = section.querySelector(".speed");
    trains.set(id, {
      seconds: 0, factor: Number(speed?.value ?? 1), playing: goes, ...(kept ?? {}),
      ...(still.matches ? { playing: false } : {}),
    });
  }
  return trains.get(id);
}

function keepTrains() {
  memory.put("trains", Object.fromEntries(trains));
}

function draw(section, train) {
  for (const group of section.querySelectorAll("g.turns")) {
    const turns = (train.seconds * Number(group.dataset.rate)) / 3600;
    group.setAttribute("transform", `rotate(${((turns % 1) * 360).toFixed(3)})`);
  }
  const time = section.querySelector(".shown-time");
  if (time) {
    const whole = Math.floor(train.seconds);
    const [h, m, s] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
    time.textContent = `${h} h ${String(m).padStart(2, "0")} min ${String(s).padStart(2, "0")} s of the clock`;
  }
}

function blur(section, train) {
  for (const group of section.querySelectorAll("g.turns")) {
    const each = (Math.abs(Number(group.dataset.rate)) * train.factor) / 3600 / PICTURES;
    for (const fine of group.querySelectorAll("g.fine")) {
      fine.classList.toggle("quick", train.playing && each * Number(fine.dataset.many) > FASTEST);
    }
    group.classList.toggle("whirls", train.playing && each > FASTEST);
  }
}

let last = 0;
let drawing = false;
function picture(now) {
  const passed = Math.min((now - last) / 1000, 0.1);
  last = now;
  let any = false;
  for (const section of document.querySelectorAll("section.turning")) {
    const train = trainOf(section);
    if (!train.playing) continue;
    any = true;
    train.seconds += passed * train.factor;
    draw(section, train);
  }
  drawing = any;
  if (any) requestAnimationFrame(picture);
}

function start() {
  if (drawing) return;
  drawing = true;
  requestAnimationFrame((now) => { last = now; picture(now); });
}

function dressTrain(section) {
  const controls = section.querySelector(".controls");
  if (!controls) return;
  controls.hidden = false;
  const train = trainOf(section);
  const go = controls.querySelector(".go"), speed = controls.querySelector(".speed");
  const words = section.dataset.by ? ["Let it run", "Stop it"] : ["Turn", "Pause"];
  const show = () => {
    go.textContent = words[train.playing ? 1 : 0];
    go.setAttribute("aria-pressed", String(train.playing));
    go.setAttribute("aria-label", `${go.textContent}: ${section.querySelector("h2").textContent}`);
    blur(section, train);
  };
  speed.value = String(train.factor);
  go.addEventListener("click", () => {
    train.playing = !train.playing;
    show();
    keepTrains();
    if (train.playing) start();
  });
  speed.addEventListener("change", () => { train.factor = Number(speed.value); show(); keepTrains(); });
  show();
  draw(section, train);
  if (train.playing) start();
}

still.addEventListener("change", () => {
  if (!still.matches) return;
  for (const train of trains.values()) train.playing = false;
  document.querySelectorAll("section.turning").forEach(dressTrain);
});
window.addEventListener("pagehide", keepTrains);

// -- a part that is clicked -----------------------------------------------------------------------------
async function choose(path) {
  const address = `?part=${encodeURIComponent(path)}`;
  history.replaceState(null, "", `${address}#part`);
  try { await fresh(location.href, ["part"]); } catch { location.reload(); return; }
  keepUp();
  mark();
  byId("part").focus({ preventScroll: true });
  const box = byId("part").getBoundingClientRect();
  if (box.top > innerHeight * 0.75 || box.bottom < 0) {
    byId("part").scrollIntoView({ behavior: still.matches ? "instant" : "smooth" });
  }
}

function mark() {
  const chosen = byId("part")?.dataset.part;
  for (const link of document.querySelectorAll("a[data-part]")) {
    if (link.dataset.part === chosen) link.setAttribute("aria-current", "true");
    else link.removeAttribute("aria-current");
    link.closest("tr")?.classList.toggle("chosen", link.dataset.part === chosen);
  }
}

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[data-part]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  choose(link.dataset.part);
});

// -- trying a value -----------------------------------------------------------------------------------------
const SOON = 150; // ms of quiet before it is worked out
let due = 0;

function query() {
  const form = byId("try");
  const given = [...form.querySelectorAll(".slider")].map((one) => [
    ["fact", one.dataset.fact], ["value", one.querySelector("input[type=number]").value],
  ]).flat();
  return `?${new URLSearchParams(given)}`;
}

async function work() {
  history.replaceState(null, "", `try${query()}`);
  try { await fresh(location.href, ["outcome"]); } catch { say("That could not be worked out."); }
  keepUp();
}

function dressTry() {
  const form = byId("try");
  if (!form || form.dataset.dressed) return;
  form.dataset.dressed = "yes";
  form.querySelector("button").hidden = true;
  for (const one of form.querySelectorAll(".slider")) {
    const slide = one.querySelector("input[type=range]"), number = one.querySelector("input[type=number]");
    one.querySelector(".slide").hidden = false;
    const soon = () => { clearTimeout(due); due = setTimeout(work, SOON); };
    slide.addEventListener("input", () => { number.value = slide.value; soon(); });
    number.addEventListener("input", () => {
      if (number.value === "") return;
      slide.value = number.value;
      soon();
    });
  }
  byId("another")?.addEventListener("change", (event) => {
    if (!event.target.value) return;
    const more = new URLSearchParams(query().slice(1));
    more.append("fact", event.target.value);
    history.replaceState(null, "", `try?${more}`);
    fresh(location.href).then(() => {
      const sliders = document.querySelectorAll(".slider input[type=range]");
      sliders[sliders.length - 1]?.focus();
    });
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); clearTimeout(due); work(); });
}

// -- finding a figure -------------------------------------------------------------------------------------------
function find() {
  const words = byId("find").value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  let found = 0;
  for (const group of document.querySelectorAll("details.group")) {
    let here = 0;
    for (const row of group.querySelectorAll("tbody tr")) {
      const text = row.textContent.toLowerCase();
      const fits = words.every((word) => text.includes(word));
      row.hidden = !fits;
      here += fits ? 1 : 0;
    }
    group.hidden = here === 0;
    if (words.length) group.open = here > 0;
    found += here;
  }
  byId("found").textContent = words.length ? `${found} found` : "";
}

function dressFind() {
  const box = byId("find");
  if (!box || box.dataset.dressed) return;
  box.dataset.dressed = "yes";
  box.closest("[hidden]").hidden = false;
  box.addEventListener("input", find);
}

// On paper all groups are open.
window.addEventListener("beforeprint", () => {
  for (const group of document.querySelectorAll("details:not([open])")) {
    group.open = true;
    group.dataset.printed = "yes";
  }
});
window.addEventListener("afterprint", () => {
  for (const group of document.querySelectorAll("details[data-printed]")) {
    group.open = false;
    delete group.dataset.printed;
  }
});

// -- the page as a whole ----------------------------------------------------------------------------------------
function dress() {
  for (const section of document.querySelectorAll("section.turning")) {
    if (section.dataset.dressed) continue;
    section.dataset.dressed = "yes";
    dressTrain(section);
  }
  mark();
  dressTry();
  dressFind();
}

dress();
listen();
