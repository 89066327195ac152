// The program or the network is gone: say so above the card, keep everything that was typed, and go on
// by itself when it is back. Nothing was written: what is sent and not answered is sent again by hand.
"use strict";
(() => {
  const EVERY = 3000; // milliseconds between two tries
  const SAID = {
    gone: "The program does not answer. What you typed is still here. If you closed the program, start it again; when it is back, this goes on.",
    back: "The program is back. Go on: press the key or button again.",
    out: "This page is not let in any more: the program was started anew. Open it again from its icon or window; what is typed here stays until then.",
  };
  let timer = null;

  const box = () => document.querySelector(".gone");
  function say(what, away) {
    const shown = box();
    if (!shown) return;
    shown.hidden = false;
    shown.classList.toggle("is-back", !away);
    shown.querySelector("p").textContent = SAID[what];
    shown.querySelector("[data-again]").hidden = !away;
  }

  async function look() {
    try {
      const answer = await fetch("/hearing", { cache: "no-store" });
      if (answer.status === 401) say("out", false);
      else if (answer.ok) say("back", false);
      else return;
      clearInterval(timer);
      timer = null;
    } catch {
      // still away
    }
  }

  function away() {
    say("gone", true);
    timer ??= setInterval(look, EVERY);
  }

  document.addEventListener("htmx:sendError", away);
  document.addEventListener("htmx:timeout", away);
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (event.detail.xhr.status !== 401) return;
    event.detail.shouldSwap = false;
    say("out", false);
  });
  document.addEventListener("click", (event) => event.target.closest("[data-again]") && look());
  window.addEventListener("online", () => timer && look());
})();
