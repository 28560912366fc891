// Two things a page without script cannot do: ring when time is up, and keep an answer that the
// network did not take. Everything else works without this file.
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

// -- answers that the network did not take ----------------------------------------

const KEPT = "answers not sent";

function kept() {
  try {
    return JSON.parse(localStorage.getItem(KEPT)) || [];
  } catch (fault) {
    return [];
  }
}

function keep(answers) {
  localStorage.setItem(KEPT, JSON.stringify(answers));
}

function say(text) {
  if (wire.textContent !== text) wire.textContent = text;
}

let sending = false;

// Oldest first; each carries its own mark, so the server counts it once however often it comes.
async function send() {
  if (sending) return;
  sending = true;
  try {
    for (let answers = kept(); answers.length; answers = kept()) {
      const first = answers[0];
      let reply;
      try {
        reply = await fetch(first.url, {
          method: "POST",
          headers: { "content-type": "application/x-www-form-urlencoded", "x-kept": "1" },
          body: first.body,
          credentials: "same-origin",
        });
      } catch (fault) {
        say(`Not sent yet: ${answers.length}. It is kept on this device and sent by itself.`);
        return;
      }
      if (reply.status === 403) {
        say("Not sent: come in again with today's code; your answer is kept on this device.");
        return;
      }
      if (reply.status >= 500) {
        say("Not taken by the computer of the room. It is kept on this device and sent again.");
        return;
      }
      keep(kept().slice(1));
      const text = await reply.text();
      if (reply.status === 200) {
        if (!kept().length) location.assign(text);
      } else {
        say(new DOMParser().parseFromString(text, "text/html").querySelector("[role=alert]").textContent);
      }
    }
  } finally {
    sending = false;
  }
}

for (const form of document.querySelectorAll("form[data-keep]")) {
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const data = new FormData(form);
    if (event.submitter && event.submitter.name) data.set(event.submitter.name, event.submitter.value);
    const url = form.getAttribute("action");
    const once = data.get("once");
    const answers = kept().filter((each) => !once || each.once !== once);
    answers.push({ url, once, body: new URLSearchParams(data).toString() });
    keep(answers);
    send();
  });
}
window.addEventListener("online", send);
setInterval(() => kept().length && send(), 5000);
if (kept().length) send();
