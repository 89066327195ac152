// Speaking an entry again: the words that were heard go into the form, for a person to look at.
import { canCapture, capture, wav } from "/static/capture.js";

let stop = null;
let parts = [];

const show = () => {
  if (canCapture()) for (const button of document.querySelectorAll(".needs-mic")) button.hidden = false;
};
document.addEventListener("htmx:afterSettle", show);
show();

document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-speak]");
  if (!button) return;
  const form = button.closest("form");
  const status = form.parentElement.querySelector("[data-speak-status]");
  if (!stop) {
    parts = [];
    try {
      stop = await capture((part) => parts.push(part));
      button.textContent = "Stop";
      status.textContent = "Listening …";
    } catch (error) {
      status.textContent = `No microphone: ${error.message}`;
    }
    return;
  }
  await stop();
  stop = null;
  button.textContent = "Speak it again";
  status.textContent = "Hearing …";
  const body = new FormData();
  body.append("csrf", form.elements.csrf.value);
  body.append("file", wav(parts), "again.wav");
  try {
    const answer = await fetch(button.dataset.speak, { method: "POST", body });
    if (!answer.ok) throw new Error(`answer ${answer.status}`);
    const { text } = await answer.json();
    status.textContent = text ? "Look at the words, then read them." : "No speech was heard.";
    if (text) document.getElementById(button.dataset.into).value = text;
  } catch (error) {
    status.textContent = `That did not work (${error.message}). Type it instead.`;
  }
});
