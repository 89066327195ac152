// Keys: anything with data-key is pressed by that key; links and buttons do the rest, so there is
// one way to do a thing. Nothing happens while somebody types, or while a change is on its way.
"use strict";
(() => {
  const OFF = "dictate-keys-off";
  let busy = false;

  const typing = (element) =>
    element.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(element.tagName);
  // Enter and Space belong to whatever control has the focus.
  const own = (event) =>
    (event.key === "Enter" || event.key === " ") && event.target.closest("a, button, summary, audio");

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || busy) return;
    if (event.key === "Escape" && typing(event.target)) {
      event.target.blur();
      return;
    }
    if (typing(event.target) || own(event)) return;
    if (localStorage.getItem(OFF) && event.key.length === 1) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const found = document.querySelector(`[data-key="${CSS.escape(key)}"]`);
    if (!found) return;
    event.preventDefault();
    found.click();
    const inner = found.closest("details[open]")?.querySelector("input:not([type=hidden])");
    if (found.tagName === "SUMMARY" && inner) inner.focus();
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
    document.querySelector("[data-focus]")?.focus({ preventScroll: true });
  }

  document.addEventListener("htmx:beforeRequest", (event) => {
    if (event.detail.requestConfig.verb === "post" || event.detail.boosted) busy = true;
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.requestConfig.verb === "post" || event.detail.boosted) busy = false;
  });
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.detail.elt === document.body || event.detail.boosted) turned();
  });
  document.addEventListener("DOMContentLoaded", turned);
})();
