// Many files at once: sent one after the other, each with what became of it; a stop loses nothing.
const form = document.getElementById("file-form");
const folder = document.getElementById("folder");
const bar = document.getElementById("sent");
const told = document.getElementById("sent-state");
const list = document.getElementById("sent-list");
const SOUND = /\.(wav|flac|mp3|m4a|aac|ogg|opus|oga|webm|mp4|3gp|amr|aif|aiff)$/i;

async function sendOne(file) {
  const body = new FormData();
  body.append("csrf", form.elements.csrf.value);
  body.append("farm", document.getElementById("farm").value);
  body.append("date", document.getElementById("date").value);
  body.append("file", file, file.name);
  const answer = await fetch("/record/clips", { method: "POST", body, headers: { Accept: "application/json" } });
  if (answer.status === 422) return (await answer.json()).message || _("refused");
  if (!answer.ok) throw new Error(answer.status === 401 ? _("this page is not let in any more") : _("the program answered %(status)s", { status: answer.status }));
  return { known: _("was here already"), long: _("is searched for notes now") }[(await answer.json()).fate] ?? "";
}

async function send(files) {
  document.getElementById("sending").hidden = false;
  list.replaceChildren();
  bar.max = files.length;
  bar.value = 0;
  let taken = 0;
  for (const [at, file] of files.entries()) {
    told.textContent = _("Taking in %(at)s of %(total)s: %(name)s", { at: at + 1, total: files.length, name: file.name });
    let became;
    try {
      became = await sendOne(file);
    } catch (error) {
      told.textContent = _("Stopped at %(name)s: %(error)s. %(taken)s were taken in; choose the files again to go on, none is taken twice.", { name: file.name, error: error.message, taken });
      return;
    }
    if (became) {
      const line = document.createElement("li");
      line.textContent = `${file.name}: ${became}`;
      list.append(line);
    } else taken += 1;
    bar.value = at + 1;
  }
  told.textContent = _("%(taken)s of %(total)s taken in. They are being heard now; Today shows how far it is.", { taken, total: files.length });
  form.reset();
}

form.addEventListener("submit", (event) => {
  const files = [...form.elements.file.files, ...[...folder.files].filter((file) => SOUND.test(file.name))];
  if (!document.getElementById("farm").reportValidity() || !document.getElementById("date").reportValidity()) {
    event.preventDefault();
    return;
  }
  if (!files.length) return;
  event.preventDefault();
  files.sort((one, other) => one.name.localeCompare(other.name, undefined, { numeric: true }));
  send(files);
});
// Recorders name files by their day: notes of yesterday are not to become a visit of today unseen.
const DAY = /(?<!\d)(20\d\d)[-_.]?(0[1-9]|1[0-2])[-_.]?(0[1-9]|[12]\d|3[01])(?!\d)/;
const day = document.getElementById("date");

function dayOfNames(files) {
  const days = new Set(files.map(({ name }) => (DAY.exec(name) || []).slice(1).join("-")));
  return days.size === 1 ? [...days][0] : "";
}

let named = "";
form.addEventListener("change", ({ target }) => {
  if (target.type !== "file") return;
  if (![day.defaultValue, named].includes(day.value)) return; // a person's choice of a day stays
  const found = dayOfNames([...target.files]);
  named = found < day.defaultValue ? found : "";
  day.value = named || day.defaultValue;
  day.dispatchEvent(new Event("input", { bubbles: true }));
  document.getElementById("named-day").hidden = !named;
});
form.addEventListener("reset", () => {
  document.getElementById("named-day").hidden = true;
});
folder.addEventListener("change", () => (form.elements.file.required = !folder.files.length));
