// Keys: anything with data-key is pressed by that key; links and buttons do the rest, so there is
// one way to do a thing. Nothing happens while somebody types, or while a change is on its way.
"use strict";
(() => {
  const OFF = "dictate-keys-off";
  const busy = () => document.body.dataset.busy;
  const work = (event, now) => {
    if (event.detail.requestConfig.verb !== "post" && !event.detail.boosted) return;
    if (now) document.body.dataset.busy = "1";
    else delete document.body.dataset.busy;
  };

  const typing = (element) =>
    element.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(element.tagName);
  // Enter and Space belong to whatever control has the focus.
  const own = (event) =>
    (event.key === "Enter" || event.key === " ") && event.target.closest("a, button, summary, audio");

  // The first that can be seen: what is folded away has no key.
  const pick = (wanted) =>
    [...document.querySelectorAll(wanted)].find((element) => element.getClientRects().length > 0);

  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("[data-enter-sends]") && !event.shiftKey) {
      event.preventDefault();
      event.target.form.requestSubmit();
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || busy()) return;
    if (event.key === "Escape" && typing(event.target)) {
      event.target.blur();
      return;
    }
    if (typing(event.target) || own(event)) return;
    if (localStorage.getItem(OFF) && event.key.length === 1) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const wanted = `[data-key="${CSS.escape(key)}"]`;
    // An open question is answered first.
    const found = document.querySelector(`.discard[open] > :not(summary) ${wanted}`) || pick(wanted);
    if (!found) return;
    event.preventDefault();
    found.click();
  });

  function ready() {
    for (const element of document.querySelectorAll(".needs-script")) element.hidden = false;
    const off = document.querySelector("[data-keys-off]");
    if (off) {
      off.checked = Boolean(localStorage.getItem(OFF));
      off.onchange = () =>
        off.checked ? localStorage.setItem(OFF, "1") : localStorage.removeItem(OFF);
    }
  }

  function turned() {
    ready();
    window.scrollTo(0, 0);
    const first = document.querySelector("[data-focus]");
    first?.focus({ preventScroll: first.tabIndex < 0 });
    if (first?.dataset.select) first.setSelectionRange(...first.dataset.select.split(" "));
    else first?.select?.();
  }

  document.addEventListener("htmx:beforeRequest", (event) => work(event, true));
  document.addEventListener("htmx:afterRequest", (event) => work(event, false));
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.detail.elt === document.body || event.detail.boosted) turned();
  });
  document.addEventListener("DOMContentLoaded", turned);
})();
