// Ten seconds of the microphone are sent to be judged; nothing of them is kept.
import { canCapture, capture, loudness, wav } from "/static/capture.js";

const SECONDS = 10;
const part = document.getElementById("check");
const button = document.getElementById("listen");
const level = document.getElementById("level");
const state = document.getElementById("state");

async function listen() {
  const parts = [];
  let stop;
  button.disabled = true;
  try {
    stop = await capture((sound) => {
      parts.push(sound);
      level.value = Math.min(1, loudness(sound) * 6);
    });
  } catch (error) {
    state.textContent = _("No microphone: %(error)s", { error: error.message });
    button.disabled = false;
    return;
  }
  for (let left = SECONDS; left > 0; left -= 1) {
    state.textContent = _("Speak now … %(seconds)s s", { seconds: left });
    await new Promise((done) => setTimeout(done, 1000));
  }
  await stop();
  level.value = 0;
  state.textContent = _("Judging …");
  const body = new FormData();
  body.append("csrf", part.dataset.csrf);
  body.append("file", wav(parts), "check.wav");
  try {
    const answer = await fetch("/settings/microphone/speak", { method: "POST", body, headers: { "X-Part": "1" } });
    if (!answer.ok) throw new Error(_("the program answered %(status)s", { status: answer.status }));
    document.getElementById("judged").innerHTML = await answer.text();
    state.textContent = "";
  } catch (error) {
    state.textContent = _("That did not work: %(error)s.", { error: error.message });
  }
  button.disabled = false;
}

if (canCapture()) {
  part.hidden = false;
  button.addEventListener("click", listen);
}
