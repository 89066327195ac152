// A browser writes the date in its field as the computer is set ("03/02/2026" or "02.03.2026"), and nobody
// else's eyes can tell a day from a month there: beside it stands the date as it is written everywhere.
"use strict";
(() => {
  const MONTHS = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" ");

  function written(value) {
    const [year, month, day] = value.split("-").map(Number);
    if (!day) return "";
    const { lang } = document.documentElement;
    if (lang === "en") return `${day} ${MONTHS[month - 1]} ${year}`;
    return new Date(Date.UTC(year, month - 1, day)).toLocaleDateString(lang, { dateStyle: "medium", timeZone: "UTC" });
  }

  function say(field) {
    const label = field.closest("label");
    if (!label) return;
    let beside = label.querySelector(".day-said");
    if (!beside) {
      beside = document.createElement("span");
      beside.className = "day-said";
      beside.setAttribute("aria-hidden", "true"); // a screen reader reads the field itself
      label.classList.add("dated");
      field.before(beside);
    }
    beside.textContent = written(field.value);
  }

  const all = () => document.querySelectorAll("input[type=date]").forEach(say);
  document.addEventListener("input", ({ target }) => target.matches("input[type=date]") && say(target));
  document.addEventListener("htmx:load", all);
  all();
})();
