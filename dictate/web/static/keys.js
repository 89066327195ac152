// Keys: anything with data-key is pressed by that key; links and buttons do the rest, so there is
// one way to do a thing. Nothing happens while somebody types, or while a change is on its way.
"use strict";
(() => {
  const OFF = "dictate-keys-off";
  const busy = () => document.body.dataset.busy;
  // Digits pressed while a page of numbers is on its way are meant for that page: none of them is lost.
  let numbers = false;
  const ahead = [];
  const work = (event, now) => {
    const { verb, path } = event.detail.requestConfig;
    if (verb !== "post" && !event.detail.boosted) return;
    if (now) document.body.dataset.busy = "1";
    else delete document.body.dataset.busy;
    numbers = now && verb === "get" && /\/number\b/.test(path);
    if (!now) setTimeout(go_on);
  };

  function go_on() {
    if (busy()) return;
    if (!document.querySelector(".digits")) ahead.length = 0;
    while (ahead.length && !press(ahead.shift()));
  }

  const typing = (element) =>
    (element.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(element.tagName)) &&
    !/^(checkbox|radio)$/.test(element.type);
  // While a word is picked, digits choose in the field too, and in the empty field so do the keys that
  // move, make room, take out and confirm.
  const picking = ({ target, key }) =>
    target.matches("[data-lets-keys]") &&
    (/^[0-9]$/.test(key) ||
      (!target.value && /^(Arrow(Left|Right)|End|Delete|Enter|Escape| )$/.test(key)));
  // What is pressed while the list for these letters is on its way is meant for that list.
  const behind = () => {
    const list = document.querySelector("[data-typed]");
    return list && document.querySelector("[data-lets-keys]").value !== list.dataset.typed;
  };
  let later = null;
  // Nobody reads a card so fast: an Enter too many, or the second click of a double one, is a slip and
  // must not confirm the card that has come meanwhile.
  const READ_MS = 400;
  let shown = -READ_MS; // when the card after a confirmed one came
  let confirming = false;

  // Enter and Space belong to whatever control has the focus.
  const own = (event) =>
    (event.key === "Enter" && event.target.closest("a, button, summary, audio")) ||
    (event.key === " " && event.target.closest("a, button, summary, audio, input"));

  // The first that can be seen: what is folded away has no key, unless its fold lets keys in.
  const pick = (wanted) => {
    const all = [...document.querySelectorAll(wanted)];
    const seen = all.find((element) => element.checkVisibility());
    const folded = (element) => (element.matches("summary") ? element.parentElement.parentElement : element).closest("details:not([open])");
    return seen ?? all.find((element) => folded(element)?.matches("[data-keys-in]"));
  };

  document.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("[data-enter-sends]") && !event.shiftKey) {
      event.preventDefault();
      event.target.form.requestSubmit();
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    if (busy() || ahead.length) {
      if ((numbers || ahead.length) && /^([0-9]|Backspace)$/.test(event.key)) ahead.push(event.key);
      return;
    }
    const picks = picking(event);
    if (!picks) later = null;
    if (event.key === "Escape" && typing(event.target) && !picks) {
      event.target.blur();
      return;
    }
    if ((typing(event.target) && !picks) || own(event)) return;
    if (picks && event.key !== "Escape" && behind()) {
      event.preventDefault();
      later = event.key;
      return;
    }
    if (localStorage.getItem(OFF) && event.key.length === 1 && !picks) return;
    if (walked(event.key)) {
      event.preventDefault();
      return;
    }
    if (press(event.key)) event.preventDefault();
  });

  // In a list to confirm together J and K walk from line to line, P plays the line's sound.
  function walked(key) {
    const lines = [...document.querySelectorAll(".together li")];
    if (!lines.length || !/^[jkp]$/i.test(key)) return false;
    const at = lines.findIndex((line) => line.matches(".now"));
    if (/p/i.test(key)) lines[Math.max(at, 0)].querySelector("[data-clip]")?.click();
    else {
      const next = lines[Math.min(lines.length - 1, Math.max(0, at + (/j/i.test(key) ? 1 : -1)))];
      for (const line of lines) line.classList.toggle("now", line === next);
      next.querySelector("input").focus();
      next.scrollIntoView({ block: "nearest" });
    }
    return true;
  }

  function press(pressed) {
    const key = pressed.length === 1 ? pressed.toLowerCase() : pressed;
    const wanted = `[data-key="${CSS.escape(key)}"]`;
    // An open question is answered first.
    const found = document.querySelector(`:is(.discard, .ask)[open] > :not(summary) ${wanted}`) || pick(wanted);
    if (found?.matches("summary")) {
      const fold = found.closest("[data-keys-in]");
      if (fold) fold.open = true;
      for (const other of document.querySelectorAll(".ask[open]")) if (other !== found.parentElement) other.open = false;
    }
    found?.click();
    return Boolean(found);
  }

  function listed() {
    if (later === null || behind()) return;
    const key = later;
    later = null;
    press(key);
  }

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
    if (confirming) shown = performance.now();
    confirming = false;
    window.scrollTo(0, 0);
    const first = document.querySelector("[data-focus]");
    // On a touch screen the keyboard would cover what there is to choose from.
    if (first?.matches("[data-lets-keys]") && matchMedia("(pointer: coarse)").matches) return;
    first?.focus({ preventScroll: first.tabIndex < 0 || first.matches("[data-lets-keys]") });
    if (first?.dataset.select) first.setSelectionRange(...first.dataset.select.split(" "));
    else first?.select?.();
  }

  document.addEventListener(
    "submit",
    (event) => {
      if (!/\/(confirm|confirm-unmarked|number)$/.test(event.target.action)) return;
      const now = performance.now();
      if (now - shown < READ_MS) {
        event.preventDefault();
        event.stopImmediatePropagation();
      } else {
        shown = now;
        confirming = true;
      }
    },
    true,
  );

  document.addEventListener("click", (event) => event.target.closest("[data-print]") && window.print());
  // What opens below the bar of the card would be asked unseen.
  document.addEventListener("toggle", ({ target }) => target.open && target.matches(".ask") && target.scrollIntoView({ block: "nearest" }), true);
  document.addEventListener("htmx:beforeRequest", (event) => work(event, true));
  document.addEventListener("htmx:afterRequest", (event) => work(event, false));
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.detail.elt === document.body || event.detail.boosted) turned();
    listed();
  });
  document.addEventListener("DOMContentLoaded", turned);
})();
