// Recording on a phone: clips stay in this browser until the laptop says that it has them.
import { RATE, canCapture, capture, loudness, wav } from "/static/capture.js";

const BLOCK = 1024 / RATE; // seconds
const BEFORE = 0.5; // kept from before the voice began
const AFTER = 1.4; // silence that ends a note
const SHORTEST = 0.4;
const LONGEST = 90;
const ABOVE_FLOOR = 3.2; // times the noise floor

const page = document.getElementById("recorder");
const button = document.getElementById("record");
const state = document.getElementById("state");
const level = document.getElementById("level");
const byVoice = document.getElementById("by-voice");
const list = document.getElementById("clips");
const counts = document.getElementById("counts");

// --- the store: IndexedDB, so that a closed tab or an empty battery loses nothing ---------------
const store = new Promise((resolve, reject) => {
  const opening = indexedDB.open("dictate-clips", 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore("clips", { keyPath: "id" });
  opening.onsuccess = () => resolve(opening.result);
  opening.onerror = () => reject(opening.error);
});
const ask = async (mode, act) => {
  const clips = (await store).transaction("clips", mode, { durability: "strict" }).objectStore("clips");
  return new Promise((resolve, reject) => {
    const request = act(clips);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
};
const kept = () => ask("readonly", (clips) => clips.getAll());
const keep = (clip) => ask("readwrite", (clips) => clips.put(clip));
const drop = (id) => ask("readwrite", (clips) => clips.delete(id));

// --- sending: one after the other, again and again until each has arrived -----------------------
let sending = false;
let arrived = 0;

async function send() {
  if (sending) return;
  sending = true;
  try {
    for (const clip of await kept()) {
      if (clip.refused) continue;
      const body = new FormData();
      body.append("csrf", page.dataset.csrf);
      body.append("farm", clip.farm);
      body.append("date", clip.date);
      body.append("at", clip.at);
      body.append("file", clip.sound, "clip.wav");
      const answer = await fetch("/record/clips", {
        method: "POST",
        body,
        headers: { Accept: "application/json" },
      });
      if (answer.status === 422) {
        clip.refused = (await answer.json()).message || _("refused");
        await keep(clip);
      } else if (answer.ok) {
        await drop(clip.id);
        arrived += 1;
      } else {
        state.textContent = answer.status === 401 || answer.status === 403
          ? _("The laptop does not know this phone any more. Pair it again; the clips wait here.")
          : _("The laptop answered %(status)s; the clips wait here.", { status: answer.status });
        if (answer.status === 401 || answer.status === 403) document.dispatchEvent(new Event("dictate:away"));
        break;
      }
    }
  } catch {
    state.textContent = _("The laptop cannot be reached; the clips wait here.");
  } finally {
    sending = false;
    await show();
  }
}

async function show() {
  const waiting = await kept();
  counts.textContent = _("%(sent)s sent, %(waiting)s waiting here", { sent: arrived, waiting: waiting.length });
  document.getElementById("see").hidden = !arrived;
  list.replaceChildren(
    ...waiting.map((clip) => {
      const line = document.createElement("li");
      line.textContent = `${clip.at.slice(11, 19)}, ${clip.seconds.toFixed(1)} s, ${clip.farm}`;
      if (clip.refused) line.textContent += " – " + _("refused: %(why)s", { why: clip.refused });
      return line;
    }),
  );
}

async function keepParts(parts, began) {
  const seconds = parts.length * BLOCK;
  if (seconds < SHORTEST) return;
  await keep({
    id: crypto.randomUUID(),
    farm: document.getElementById("farm").value,
    date: document.getElementById("date").value,
    at: local(began),
    seconds,
    sound: wav(parts),
  });
  await show();
  send();
}

const local = (time) => {
  const two = (number) => String(number).padStart(2, "0");
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())}T${two(time.getHours())}:${two(time.getMinutes())}:${two(time.getSeconds())}`;
};

// --- recording: by hand, or cut by the voice ----------------------------------------------------
let stop = null;
let parts = [];
let began = null;
let recent = [];
let floor = 0.005;
let quiet = 0;
let speaking = false;

function take(part) {
  const loud = loudness(part);
  level.value = Math.min(1, loud * 6);
  if (!byVoice.checked) {
    parts.push(part);
    return;
  }
  const voiced = loud > Math.max(floor * ABOVE_FLOOR, 0.004);
  if (!voiced) floor = floor * 0.98 + loud * 0.02;
  if (!speaking) {
    recent.push(part);
    if (recent.length > BEFORE / BLOCK) recent.shift();
    if (voiced) {
      speaking = true;
      began = new Date(Date.now() - recent.length * BLOCK * 1000);
      parts = recent;
      recent = [];
      quiet = 0;
      state.textContent = _("Recording a note …");
    }
    return;
  }
  parts.push(part);
  quiet = voiced ? 0 : quiet + BLOCK;
  if (quiet >= AFTER || parts.length * BLOCK >= LONGEST) endNote();
}

function endNote() {
  const done = parts;
  const when = began;
  speaking = false;
  parts = [];
  state.textContent = _("Listening for the next note …");
  keepParts(done, when);
}

// While the browser asks for the microphone, or a recording is being kept, a second press is a slip.
let turning = false;
async function turn() {
  if (turning) return;
  turning = true;
  try {
    await (stop ? end() : begin());
  } finally {
    turning = false;
  }
}

async function begin() {
  if (!document.getElementById("farm").reportValidity()) return;
  parts = [];
  recent = [];
  speaking = false;
  began = new Date();
  try {
    stop = await capture(take);
  } catch (error) {
    state.textContent = _("No microphone: %(error)s", { error: error.message });
    return;
  }
  button.textContent = _("Stop");
  button.setAttribute("aria-pressed", "true");
  state.textContent = byVoice.checked ? _("Listening for a note …") : _("Recording …");
  // Nothing waits for it: the screen stays on where the browser can do that.
  navigator.wakeLock?.request("screen").catch(() => {});
}

async function end() {
  await stop();
  stop = null;
  button.textContent = _("Start");
  button.setAttribute("aria-pressed", "false");
  level.value = 0;
  state.textContent = "";
  if (parts.length) await keepParts(parts, began);
  parts = [];
}

button.addEventListener("click", turn);
byVoice.addEventListener("change", () => stop && turn());
window.addEventListener("online", send);
setInterval(send, 15000);
if (canCapture()) page.hidden = false;
else document.getElementById("no-mic").hidden = false;
show().then(send);
