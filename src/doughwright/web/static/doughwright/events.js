// What changed elsewhere: one stream a page, open only while the page is seen. A browser opens
// six connexions to a server at most; a page that nobody sees must not hold one.
"use strict";

(() => {
  const places = () => [...document.querySelectorAll("[data-topic]")];
  let stream = null;

  const heard = (message) => {
    const { topic, state, now } = JSON.parse(message.data);
    document.dispatchEvent(new CustomEvent("dough:clock", { detail: now }));
    for (const place of places()) {
      if (place.dataset.topic !== topic || place.dataset.state === state) continue;
      if (place.id === "newer") {
        place.querySelector("a").href = location.href;
        place.hidden = false;
      } else place.dispatchEvent(new CustomEvent("stale"));
    }
  };

  const open = () => {
    if (stream || document.hidden || !places().length) return;
    const query = new URLSearchParams(places().map((place) => ["topic", place.dataset.topic]));
    stream = new EventSource(`/events?${query}`);
    stream.addEventListener("state", heard);
  };
  const close = () => {
    if (stream) stream.close();
    stream = null;
  };

  document.addEventListener("visibilitychange", () => (document.hidden ? close() : open()));
  addEventListener("pagehide", close);
  addEventListener("pageshow", open);
  open();
})();
