// Asks for the page anew when the shop has changed, and says when nobody tells of changes any more.
"use strict";
(() => {
  const seen = new URL(document.currentScript.src).searchParams.get("n");
  const events = new EventSource("/.live/events");
  events.addEventListener("seen", (event) => {
    document.documentElement.classList.remove("live-ended");
    if (event.data !== seen) {
      events.close();
      location.reload();
    }
  });
  let failed = 0;
  events.onopen = () => { failed = 0; };
  events.onerror = () => {
    failed += 1;
    if (failed > 2) document.documentElement.classList.add("live-ended");
  };
})();
