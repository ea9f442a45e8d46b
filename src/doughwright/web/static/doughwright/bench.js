// The bench's clock and bell. Each tick counts anew from the deadline and the clock, so nothing
// is lost while a phone sleeps; the server's clock counts where the phone's is wrong. What is
// tapped without a network is sent again, with how long ago that was.
"use strict";

(() => {
  const MINUTE = 60000;
  const RINGS_FOR = 60000;
  const LATE = 15 * MINUTE; // what is over for longer when the page opens does not ring
  const ASKS_EVERY = 10000;
  const ahead = { by: 0 };
  const rung = new Set();
  const title = document.title;
  const bell = document.getElementById("bell");
  const main = document.getElementById("main");
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
      return seconds > 0 ? `${seconds}\u00a0s left` : "now";
    }
    if (left < 0) return `${duration(-left)} over`;
    const said = duration(Math.ceil(left / MINUTE) * MINUTE);
    return isBegin ? `in ${said}` : `${said} left`;
  };

  // What is not sent stays said until it is; all else goes with the next tap, or after a while.
  const unsent = new Map();
  const NOT_SENT = "Doughwright does not answer. What you tapped is not marked yet: it is sent as soon as there is an answer. Leave this page open.";
  const said = document.getElementById("said");
  let goes = 0;
  const say = (words) => {
    clearTimeout(goes);
    said.textContent = words || (unsent.size ? NOT_SENT : "");
    if (words) goes = setTimeout(say, RINGS_FOR, "");
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
    say(says);
    if (!audio) return;
    const until = now() + RINGS_FOR;
    clearInterval(ringing);
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
  const heard = () => {
    say("");
    document.title = title;
    if (ringing) quiet();
  };
  document.addEventListener("pointerdown", heard);
  document.addEventListener("keydown", heard);

  // A tap that got no answer waits, the last of each button; the server is asked again when the
  // network is back, when the page is looked at, and now and then.
  const tapped = (event) => event.target.closest?.("#bench form");
  const sendAgain = async () => {
    for (const [address, tap] of [...unsent]) {
      const ago = { ago: Date.now() - tap.at };
      let answer;
      try {
        const body = new URLSearchParams({ ...tap.fields, ...ago });
        answer = await fetch(address, {
          method: "POST", body, headers: { "HX-Request": "true" }, signal: AbortSignal.timeout(20000),
        });
      } catch {
        return; // still nobody there
      }
      if (unsent.get(address) !== tap) continue;
      unsent.delete(address);
      say(answer.ok ? "" : "Not marked: Doughwright refused it. Tap again.");
      document.getElementById("bench").dispatchEvent(new CustomEvent("stale"));
    }
  };
  for (const name of ["htmx:sendError", "htmx:timeout"]) {
    main.addEventListener(name, (event) => {
      const form = tapped(event);
      if (!form) return;
      event.stopPropagation(); // nothing is typed here: the app's own words would not be true
      const address = form.getAttribute("action");
      unsent.delete(address);
      unsent.set(address, { at: Date.now(), fields: Object.fromEntries(new FormData(form)) });
      say("");
    });
  }
  main.addEventListener("htmx:responseError", (event) => {
    if (!tapped(event) || event.detail.xhr.status === 401) return;
    event.stopPropagation();
    say("Not marked: Doughwright could not do it. Tap again.");
  });
  main.addEventListener("htmx:afterSwap", (event) => {
    // a tap leads to what is to be done now; what another device marked moves nothing
    if (event.detail.requestConfig?.verb !== "post") return;
    document.getElementById("bench").scrollIntoView();
  });
  document.addEventListener("htmx:beforeOnLoad", (event) => {
    const { verb, path } = event.detail.requestConfig;
    if (verb === "post") unsent.delete(path); // answered, it settles the one before it
    say("");
  });
  addEventListener("online", sendAgain);
  setInterval(sendAgain, ASKS_EVERY);
  addEventListener("beforeunload", (event) => unsent.size && event.preventDefault());

  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    tick();
    stayAwake();
    sendAgain();
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
