// Listening: play and stop, slower, and from any heard word; the word being said is shown.
"use strict";
(() => {
  const SLOW = 0.7;
  const player = () => document.querySelector(".player audio");

  document.addEventListener("click", (event) => {
    const one = event.target.closest("[data-clip]");
    const shared = document.querySelector("audio[data-one]");
    if (one && shared) {
      const again = shared.getAttribute("src") === one.dataset.clip && !shared.paused;
      shared.src = one.dataset.clip;
      if (!again) shared.play();
      return;
    }
    const audio = player();
    if (!audio) return;
    const word = event.target.closest(".word[data-from]");
    if (word) {
      audio.currentTime = Math.max(0, Number(word.dataset.from) - 0.15);
      audio.play();
    } else if (event.target.closest("[data-play]")) {
      if (audio.paused) audio.play();
      else audio.pause();
    } else if (event.target.closest("[data-slower]")) {
      const button = event.target.closest("[data-slower]");
      const slow = button.getAttribute("aria-pressed") !== "true";
      button.setAttribute("aria-pressed", String(slow));
      audio.playbackRate = slow ? SLOW : 1;
      audio.currentTime = audio.ended ? 0 : audio.currentTime;
      audio.play();
    }
  });

  document.addEventListener(
    "timeupdate",
    (event) => {
      let now = null;
      for (const word of document.querySelectorAll(".word[data-from]")) {
        word.classList.remove("now");
        if (Number(word.dataset.from) <= event.target.currentTime + 0.05) now = word;
      }
      if (now && !event.target.paused) now.classList.add("now");
    },
    true,
  );
})();
