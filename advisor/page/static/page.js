// What a page without script cannot do: ring when time is up, keep what the network did not take,
// and keep a long form over a reload. Everything else works without this file.
"use strict";

// -- clocks ---------------------------------------------------------------------

const wire = document.getElementById("wire");
const rung = new Set();
let sound = null;
const button = document.getElementById("sound");
if (button) button.hidden = false;

function letRing() {
  // Out of sight, not out of its place: what is being touched must not move away under the finger.
  if (button) button.style.visibility = "hidden";
  sound = sound || new (window.AudioContext || window.webkitAudioContext)();
  sound.resume();
}
// A browser lets a page sound only after it was touched.
document.addEventListener("pointerdown", letRing, { once: true });

function ring(name) {
  if (!sound) return;
  for (let at = 0; at < 3; at += 1) {
    const tone = sound.createOscillator();
    tone.frequency.value = 880;
    tone.connect(sound.destination);
    tone.start(sound.currentTime + at * 0.5);
    tone.stop(sound.currentTime + at * 0.5 + 0.25);
  }
  if (navigator.vibrate) navigator.vibrate([300, 200, 300]);
}

function words(seconds) {
  const whole = Math.abs(Math.round(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  const pad = (number) => String(number).padStart(2, "0");
  return hours ? `${hours} h ${pad(minutes)} min` : `${minutes} min ${pad(whole % 60)} s`;
}

function tick() {
  const now = Date.now();
  for (const each of document.querySelectorAll("[data-due]")) {
    const left = (new Date(each.dataset.due).getTime() - now) / 1000;
    each.textContent = left > 0 ? `in ${words(left)}` : `${words(left)} ago`;
    each.classList.toggle("ringing", left <= 0);
    const mark = `${each.dataset.name} ${each.dataset.due}`;
    if (left <= 0 && !rung.has(mark)) {
      rung.add(mark);
      if (left > -90) {
        ring(each.dataset.name);
        say(each.dataset.name);
      }
    }
  }
  for (const each of document.querySelectorAll("[data-since]")) {
    each.textContent = `${words((now - new Date(each.dataset.since).getTime()) / 1000)} open`;
  }
}
if (document.querySelector("[data-due], [data-since]")) {
  tick();
  setInterval(tick, 1000);
}

// -- what the network did not take ------------------------------------------------

const KEPT = "answers not sent";
const REFUSED = "not taken";
//: Which drawing of a page a sending came from: only that one goes on to where it leads.
const FROM = `${performance.timeOrigin}`;
let touched = false;
document.addEventListener("input", () => { touched = true; });

function stored(name, otherwise) {
  try {
    return JSON.parse(localStorage.getItem(name)) || otherwise;
  } catch (fault) {
    return otherwise;
  }
}

function kept() {
  return stored(KEPT, []);
}

function keep(answers) {
  localStorage.setItem(KEPT, JSON.stringify(answers));
}

function say(text, path) {
  if (wire.textContent === text) return;
  wire.textContent = text;
  if (!path) return;
  const way = document.createElement("a");
  way.href = path[0];
  way.textContent = path[1];
  wire.append(" ", way);
}

function read(text) {
  return new DOMParser().parseFromString(text, "text/html");
}

function posted(each) {
  const body = new URLSearchParams(each.body);
  if (each.at) body.set("waited", String(Math.max(0, (Date.now() - each.at) / 1000)));
  return fetch(each.url, {
    method: "POST",
    headers: { "content-type": "application/x-www-form-urlencoded", "x-kept": "1" },
    body: body.toString(),
    credentials: "same-origin",
  });
}

// Who came in again has another token than the form that was kept; null when nobody has come in.
async function freshToken() {
  const here = read(await (await fetch("/enter", { credentials: "same-origin" })).text());
  return here.documentElement.dataset.token || null;
}

function withToken(each, token) {
  const body = new URLSearchParams(each.body);
  body.set("token", token);
  return { ...each, body: body.toString() };
}

let sending = false;

// Oldest first; each carries its own mark, so the server counts it once however often it comes.
async function send() {
  if (sending) return;
  sending = true;
  try {
    for (let answers = kept(); answers.length; answers = kept()) {
      let first = answers[0];
      let reply;
      try {
        reply = await posted(first);
        if (reply.status === 403) {
          const token = await freshToken();
          if (!token) {
            say("Not sent: come in again with today's code; your answer is kept on this device.",
              ["/enter", "Come in again"]);
            return;
          }
          first = withToken(first, token);
          reply = await posted(first);
        }
      } catch (fault) {
        say(`Not sent yet: ${answers.length}. It is kept on this device and sent by itself.`);
        return;
      }
      if (reply.status >= 500) {
        say("Not taken by the computer of the room. It is kept on this device and sent again.");
        return;
      }
      keep(kept().filter((each) => each.once !== first.once));
      const text = await reply.text();
      if (reply.status === 200) taken(first, text);
      else refused(first, text);
    }
  } finally {
    sending = false;
  }
}

function taken(each, path) {
  if (each.draft) localStorage.removeItem(`draft ${each.draft}`);
  if (kept().length) return;
  if (each.from === FROM) location.assign(path);
  else if (touched) say("What was kept on this device is sent now.");
  else location.reload();
}

// The page that comes back holds all that was typed and says what to mend; elsewhere it is told.
function refused(each, text) {
  const page = read(text);
  const alert = page.querySelector("[role=alert]");
  const form = page.querySelector("main form[data-keep]");
  if (each.from === FROM && form && form.getAttribute("action") === each.url) {
    document.querySelector("main").replaceWith(page.querySelector("main"));
    say("");
    prepare();
    document.querySelector("[role=alert]").scrollIntoView();
    return;
  }
  const said = alert ? alert.textContent : "The computer of the room did not take it.";
  const told = each.shown ? `${said} Not taken: ${each.shown}` : said;
  sessionStorage.setItem(REFUSED, told);  // what was sent after it may lead to another page
  say(told);
}

// What a person would know the sending by, should it be refused on another page.
function shownOf(form, data) {
  const typed = ["words", "dead", "supplier", "kind"].flatMap((name) => data.getAll(name));
  const ticked = [...form.querySelectorAll(":checked + span b")].map((each) => each.textContent);
  return [...typed, ...ticked].filter((each) => each).join(", ").slice(0, 300);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-keep]")) return;
  event.preventDefault();
  const data = new FormData(form);
  const by = event.submitter;
  if (by && by.name) data.set(by.name, by.value);
  data.set("by", document.documentElement.dataset.guest || "");
  // one mark a form: touched twice it is one sending
  form.dataset.once = data.get("once") || form.dataset.once || `${FROM}-${Math.random()}`;
  const once = form.dataset.once;
  data.set("once", once);
  const answers = kept().filter((each) => each.once !== once);
  answers.push({
    url: form.getAttribute("action"),
    once,
    body: new URLSearchParams(data).toString(),
    at: Date.now(),
    from: FROM,
    draft: form.dataset.draft,
    shown: shownOf(form, data),
  });
  keep(answers);
  send();
});

// -- a long form outlives its page, and grows as it is filled -------------------------

const SPARE = 2;

function drafted(form) {
  const data = [...new FormData(form)].filter(([name]) => form.querySelector(`[name="${name}"]:not([type=hidden])`));
  localStorage.setItem(`draft ${form.dataset.draft}`, JSON.stringify(data));
}

function putBack(form) {
  const fields = [...form.querySelectorAll("input:not([type=hidden])")];
  const before = stored(`draft ${form.dataset.draft}`, []);
  if (!before.some(([, value]) => value) || fields.some((each) => each.value)) return;
  for (const [name, value] of before) {
    const field = fields.find((each) => each.name === name && !each.filled);
    if (!field) continue;
    field.value = value;
    field.filled = true;
  }
  const note = form.querySelector(".put-back");
  note.hidden = false;
  note.querySelector("button").addEventListener("click", () => {
    localStorage.removeItem(`draft ${form.dataset.draft}`);
    form.reset();
    note.hidden = true;
    grow(form);
  });
}

function grow(form) {
  const boxes = [...form.querySelectorAll(".boxes > li")];
  const filled = boxes.map((box) => [...box.querySelectorAll("input:not([type=hidden])")].some((each) => each.value));
  const last = filled.lastIndexOf(true);
  boxes.forEach((box, at) => { box.hidden = at > last + SPARE; });
}

function prepare() {
  for (const form of document.querySelectorAll("form[data-draft]")) {
    putBack(form);
    grow(form);
    form.addEventListener("input", () => {
      drafted(form);
      grow(form);
    });
  }
}

if (sessionStorage.getItem(REFUSED)) {
  say(sessionStorage.getItem(REFUSED));
  sessionStorage.removeItem(REFUSED);
}
prepare();
window.addEventListener("online", send);
setInterval(() => kept().length && send(), 5000);
if (kept().length) send();
