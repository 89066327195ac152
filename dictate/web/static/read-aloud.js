// Lines to read aloud, one after the other; the computer judges each recording and keeps the usable ones.
import { RATE, canCapture, capture, loudness, wav } from "/static/capture.js";

const BLOCK = 1024 / RATE; // seconds
const LONGEST = 30; // of one line
const MACHINES = 30; // seconds of them alone
const CEILING = 0.99;
const FAINT = 0.01; // loudness of a voice that comes too weakly
const SHORTEST = 0.3;

const at = (id) => document.getElementById(id);
const page = at("reader");
const lines = [...at("lines").children].map((line) => line.textContent);
const buttons = [at("begin"), at("skip"), at("again"), at("leave")];

let stop = null; // closes the microphone
let parts = null; // what is being recorded
let here = 0;
let last = null; // the line kept last: { line, kept }
let anew = null; // a line that is read once more
let read = Number(page.dataset.read);
let loudest = 0;
let sending = false;

const machines = () => !anew && here >= lines.length;
const line = () => (anew ? anew.line : (lines[here] ?? ""));
const tell = (text) => (at("state").textContent = text);

function show() {
  const recording = Boolean(parts);
  at("place").textContent = machines()
    ? _("If you like: your machines, half a minute, nobody speaking.")
    : _("%(read)s of %(total)s are read.", { read, total: page.dataset.lines });
  at("line").textContent = machines() ? _("Let the grinder or the crush run alone.") : line();
  at("begin").lastElementChild.textContent = recording ? _("Done") : _("Begin");
  at("begin").setAttribute("aria-pressed", String(recording));
  at("skip").disabled = recording || sending || machines();
  at("again").disabled = recording || sending || !last || Boolean(anew);
  at("begin").disabled = sending;
}

function take(part) {
  const loud = loudness(part);
  at("level").value = Math.min(1, loud * 6);
  if (!parts) return;
  parts.push(part);
  const seconds = parts.length * BLOCK;
  loudest = Math.max(loudest, loud);
  if (part.some((sample) => Math.abs(sample) >= CEILING)) tell(_("Too loud: turn the level down, or move the microphone."));
  else if (machines()) tell(_("%(seconds)s seconds more …", { seconds: Math.ceil(MACHINES - seconds) }));
  else if (seconds > 2 && loudest < FAINT) tell(_("Hardly anything is heard: speak closer, or turn the level up."));
  if (seconds >= (machines() ? MACHINES : LONGEST)) end();
}

const refused = (error) =>
  ({
    NotAllowedError: _("The browser may not use the microphone. Allow it (the sign beside the address, or the browser’s settings), then press Begin again."),
    NotFoundError: _("No microphone was found. Plug it in, then press Begin again."),
    NotReadableError: _("Another program holds the microphone. Close it there, then press Begin again."),
  })[error.name] ?? _("No microphone: %(error)s", { error: error.message });

async function begin() {
  if (!stop) {
    try {
      stop = await capture(take);
    } catch (error) {
      tell(refused(error));
      return;
    }
  }
  loudest = 0;
  parts = [];
  tell(machines() ? "" : _("Recording: read the line …"));
  show();
}

async function end() {
  const done = parts;
  parts = null;
  if (done.length * BLOCK < SHORTEST) {
    tell(_("That was too short. Press Begin, read the line, then press Done."));
    show();
    return;
  }
  sending = true;
  show();
  try {
    await send(done);
  } catch {
    tell(_("The computer did not answer. Press Begin and read the line once more."));
  } finally {
    sending = false;
    show();
  }
}

async function send(done) {
  const body = new FormData();
  body.append("csrf", page.dataset.csrf);
  body.append("prompt", line());
  if (anew) body.append("instead", anew.kept);
  body.append("file", wav(done), "reading.wav");
  const answer = await fetch("/voice/readings", { method: "POST", body, headers: { Accept: "application/json" } });
  if (!answer.ok) {
    tell(_("The computer answered %(status)s. Open this page again.", { status: answer.status }));
    return;
  }
  const judged = await answer.json();
  read = judged.read;
  if (!judged.kept) {
    const why = judged.advice.join(" ") || _("That could not be used.");
    tell([why, _("Once more, please.")].join(" "));
    return;
  }
  if (machines()) {
    await leave();
    return;
  }
  last = { line: line(), kept: judged.kept };
  if (anew) anew = null;
  else here += 1;
  tell([_("Kept."), ...judged.advice].join(" "));
}

async function leave() {
  parts = null;
  const close = stop;
  stop = null;
  await close?.();
  location.assign("/voice");
}

at("begin").addEventListener("click", () => (parts ? end() : begin()));
at("skip").addEventListener("click", () => {
  if (anew) anew = null;
  else here += 1;
  tell("");
  show();
});
at("again").addEventListener("click", () => {
  anew = last;
  tell("");
  show();
});
at("leave").addEventListener("click", leave);
addEventListener("pagehide", () => stop?.());
if (canCapture()) page.hidden = false;
else at("no-mic").hidden = false;
show();
for (const button of buttons) button.blur();
