// The claw map says in words what a mark stands for, under the drawing, when it is pointed at, reached
// by the keyboard or touched.
"use strict";
(() => {
  const mark = (event) => event.target.closest?.("figure .found[aria-label]");

  function tell(event) {
    const found = mark(event);
    if (!found) return;
    const figure = found.closest("figure");
    const line = figure.querySelector("figcaption") ?? figure.appendChild(document.createElement("figcaption"));
    line.dataset.usual ??= line.textContent;
    line.textContent = found.getAttribute("aria-label");
  }

  function usual(event) {
    const line = mark(event)?.closest("figure").querySelector("figcaption[data-usual]");
    if (line && !line.parentElement.contains(document.activeElement)) line.textContent = line.dataset.usual;
  }

  // A click on a zone of the card's map moves the chosen finding there.
  document.addEventListener("click", (event) => {
    const zone = event.target.closest?.("[data-zone]");
    const form = zone?.closest("figure").querySelector("[data-place]");
    if (!form) return;
    for (const name of ["foot", "claw", "zone"]) form.elements[name].value = zone.dataset[name] ?? "";
    form.requestSubmit();
  });

  // A finding was chosen: the keys are the card's again.
  document.addEventListener("change", (event) => event.target.matches("[data-place] select") && event.target.blur());

  for (const kind of ["pointerover", "focusin", "click"]) document.addEventListener(kind, tell);
  for (const kind of ["pointerout", "focusout"]) document.addEventListener(kind, usual);
})();
