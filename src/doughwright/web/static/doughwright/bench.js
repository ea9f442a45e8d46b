// The bench's clock and bell. Each tick counts anew from the deadline and the clock, so nothing
// is lost while a phone sleeps; the server's clock counts where the phone's is wrong.
"use strict";

(() => {
  const MINUTE = 60000;
  const RINGS_FOR = 60000;
  const LATE = 15 * MINUTE; // what is over for longer when the page opens does not ring
  const ahead = { by: 0 };
  const rung = new Set();
  const title = document.title;
  const bell = document.getElementById("bell");
  let audio = null;
  let ringing = 0;
  let awake = null;

  for (const part of document.querySelectorAll(".scripted-only")) part.hidden = false;

  const now = () => Date.now() + ahead.by;
  const setClock = (server) => {
    const by = server - Date.now();
    ahead.by = Math.abs(by) > 2000 ? by : 0;
  };

  const duration = (milliseconds) => {
    const minutes = Math.floor(milliseconds / MINUTE);
    if (minutes < 60) return `${minutes}\u00a0min`;
    const rest = minutes % 60;
    return `${Math.floor(minutes / 60)}\u00a0h${rest ? ` ${rest}\u00a0min` : ""}`;
  };
  const words = (left, isBegin) => {
    if (Math.abs(left) < MINUTE) {
      const seconds = Math.ceil(left / 1000);
      return seconds > 0 ? `still ${seconds}\u00a0s` : "now";
    }
    if (left < 0) return `${duration(-left)} over`;
    const said = duration(Math.ceil(left / MINUTE) * MINUTE);
    return isBegin ? `in ${said}` : `still ${said}`;
  };

  const beep = () => {
    for (const start of [0, 0.35, 0.7]) {
      const tone = audio.createOscillator();
      const loud = audio.createGain();
      const at = audio.currentTime + start;
      tone.frequency.value = 880;
      loud.gain.setValueAtTime(0.0001, at);
      loud.gain.exponentialRampToValueAtTime(0.4, at + 0.02);
      loud.gain.exponentialRampToValueAtTime(0.0001, at + 0.3);
      tone.connect(loud).connect(audio.destination);
      tone.start(at);
      tone.stop(at + 0.32);
    }
  };

  const quiet = () => {
    clearInterval(ringing);
    ringing = 0;
    document.title = title;
    if (navigator.vibrate) navigator.vibrate(0);
  };
  const ring = (says) => {
    document.title = `● ${says}`;
    document.getElementById("said").textContent = says;
    if (!audio) return;
    quiet();
    document.title = `● ${says}`;
    const until = now() + RINGS_FOR;
    const once = () => {
      if (now() > until) return clearInterval(ringing);
      if (navigator.vibrate) navigator.vibrate([400, 200, 400, 200, 400]);
      if (audio.state === "running") beep();
      else audio.resume().then(beep, () => {});
    };
    once();
    ringing = setInterval(once, 2000);
  };

  const tick = () => {
    for (const place of document.querySelectorAll(".ticks")) {
      const due = Number(place.dataset.due);
      const left = due - now();
      place.textContent = words(left, place.dataset.until === "begin");
      place.classList.toggle("over", left <= 0);
      const name = `${place.dataset.says} ${due}`;
      if (left > 0 || rung.has(name)) continue;
      rung.add(name);
      if (left > -LATE) ring(place.dataset.says);
    }
  };

  const stayAwake = async () => {
    if (!audio || !navigator.wakeLock || document.hidden) return;
    try {
      awake = await navigator.wakeLock.request("screen");
    } catch {
      awake = null; // a phone low on power says no
    }
  };

  // One tap is what a browser asks for before a page may be heard.
  bell.addEventListener("click", () => {
    if (audio) {
      quiet();
      audio.close();
      if (awake) awake.release();
      audio = awake = null;
    } else {
      audio = new AudioContext();
      audio.resume().then(beep, () => {});
      stayAwake();
    }
    bell.setAttribute("aria-pressed", String(Boolean(audio)));
    bell.textContent = audio ? "It will ring: tap to turn it off" : "Ring when it is time";
  });
  document.addEventListener("pointerdown", () => ringing && quiet());
  document.addEventListener("keydown", () => ringing && quiet());

  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    tick();
    stayAwake();
  });
  addEventListener("pageshow", tick);
  document.addEventListener("dough:clock", (event) => {
    setClock(event.detail);
    tick();
  });
  document.addEventListener("htmx:afterSettle", () => {
    if (!ringing) document.title = title;
    tick();
  });
  setClock(Number(document.getElementById("bench").dataset.now));
  tick();
  setInterval(tick, 1000);
})();
