// The program or the network is gone: say so above the card, keep everything that was typed, and go on
// by itself when it is back, also when it was started anew. Nothing was written: what was sent and not
// answered is sent again by hand, and the entry's version tells if it had arrived after all.
"use strict";
(() => {
  const EVERY = 3000; // milliseconds between two tries
  const SAID = {
    gone: () => _("The program does not answer. What you typed is still here. If you closed the program, start it again; when it is back, this goes on."),
    back: () => _("The program is back. Go on: press the key or button again."),
    out: () => _("This page is not let in any more. Open it again from its icon or window: this tab then goes on, and what is typed here stays."),
  };
  let timer = null;

  const box = () => document.querySelector(".gone");
  function say(what) {
    const shown = box();
    if (!shown) return;
    shown.hidden = false;
    shown.classList.toggle("is-back", what === "back");
    shown.querySelector("p").textContent = SAID[what]();
    shown.querySelector("[data-again]").hidden = what === "back";
  }

  // Every form gets the token that holds now: another one does after pairing or opening the page anew.
  async function look() {
    try {
      const answer = await fetch("/session", { cache: "no-store" });
      if (answer.status === 401) say("out");
      if (!answer.ok) return;
      const { csrf } = await answer.json();
      for (const field of document.querySelectorAll("input[name=csrf]")) field.value = csrf;
      const recorder = document.getElementById("recorder");
      if (recorder) recorder.dataset.csrf = csrf;
      say("back");
      clearInterval(timer);
      timer = null;
    } catch {
      say("gone"); // still away
    }
  }

  function away(what) {
    say(what);
    timer ??= setInterval(look, EVERY);
  }

  document.addEventListener("htmx:sendError", () => away("gone"));
  document.addEventListener("htmx:timeout", () => away("gone"));
  document.addEventListener("htmx:beforeSwap", (event) => {
    const { status, requestConfig } = event.detail.xhr.status ? { ...event.detail, status: event.detail.xhr.status } : {};
    if (status === 401) away("out");
    else if (status === 403 && requestConfig?.verb === "post") look();
    else return;
    event.detail.shouldSwap = false;
  });
  document.addEventListener("click", (event) => event.target.closest("[data-again]") && look());
  document.addEventListener("dictate:away", () => away("out"));
  window.addEventListener("online", () => timer && look());
})();
