// Saying an entry again: the words that were heard go into the form, for a person to look at.
// It stops by itself once the voice has stopped. Asked for by its key, the words are read at once, and
// the card shows what came of them before anything is confirmed. With the animal's number the words replace the
// whole note, without it they go where typing would.
import { canCapture, capture, loudness, wav } from "/static/capture.js";

const AFTER_S = 1.2; // silence that ends what is said
const LONGEST_S = 30;
const NOTHING_S = 8; // of silence before anything was said
const ABOVE_FLOOR = 3;

let stop = null;

function show() {
  if (!canCapture()) return;
  for (const button of document.querySelectorAll(".needs-mic")) button.hidden = false;
  document.querySelector("[data-speak][data-now]")?.click();
}

// Says whether the voice has ended, from one part after the other.
function ending() {
  let floor = 0.005;
  let spoken = 0;
  let quiet = 0;
  let all = 0;
  return (part) => {
    const seconds = part.length / 16000;
    const voiced = loudness(part) > Math.max(floor * ABOVE_FLOOR, 0.004);
    if (voiced) spoken += seconds;
    else floor = floor * 0.98 + loudness(part) * 0.02;
    quiet = voiced ? 0 : quiet + seconds;
    all += seconds;
    return all > LONGEST_S || quiet > (spoken > 0.2 ? AFTER_S : NOTHING_S);
  };
}

async function listen(button) {
  const form = button.closest("form");
  const status = form.parentElement.querySelector("[data-speak-status]");
  const said = button.textContent;
  const atOnce = "now" in button.dataset;
  delete button.dataset.now;
  const parts = [];
  const ended = ending();
  const done = new Promise((resolve) => { stop = resolve; });
  let close;
  try {
    close = await capture((part) => {
      parts.push(part);
      if (ended(part)) stop?.();
    });
  } catch (error) {
    stop = null;
    status.textContent = _("No microphone: %(error)s", { error: error.message });
    return;
  }
  button.textContent = _("Stop");
  status.textContent = _("Listening … it stops when you do.");
  await done;
  stop = null;
  await close();
  button.textContent = said;
  status.textContent = _("Hearing …");
  const body = new FormData();
  body.append("csrf", form.elements.csrf.value);
  body.append("file", wav(parts), "again.wav");
  try {
    const answer = await fetch(button.dataset.speak, { method: "POST", body });
    if (!answer.ok) throw new Error(_("answer %(status)s", { status: answer.status }));
    const { text, whole } = await answer.json();
    status.textContent = text ? _("Look at the words, then Enter reads them.") : _("No speech was heard.");
    if (!text) return;
    put(document.getElementById(button.dataset.into), text, whole);
    if (atOnce) form.requestSubmit();
  } catch (error) {
    status.textContent = _("That did not work (%(error)s). Type it instead.", { error: error.message });
  }
}

function put(field, text, whole) {
  const [first, last] = whole ? [0, field.value.length] : [field.selectionStart, field.selectionEnd];
  const parts = [field.value.slice(0, first), text, field.value.slice(last)];
  field.value = parts.map((part) => part.trim()).filter(Boolean).join(" ");
  field.focus();
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-speak]");
  if (!button) return;
  if (stop) stop();
  else listen(button);
});
document.addEventListener("htmx:afterSettle", show);
show();
