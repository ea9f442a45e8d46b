// The formula page with script: undo, drafts, what is wrong marked without touching what is typed.
"use strict";

(() => {
  const editor = () => document.getElementById("editor");
  const bread = () => editor().dataset.bread;
  const number = () => Number(editor().dataset.number);
  const value = (id) => document.getElementById(id)?.value ?? "";
  const isChanged = () => document.getElementById("state")?.dataset.changed === "yes";

  // A browser that keeps nothing, or no more, still edits: it has no undo and no draft then.
  // Where it may keep nothing, the stores cannot even be named.
  const NO_STORE = { getItem: () => null, setItem: () => { throw new Error("nothing is kept"); }, removeItem: () => {} };
  const storeOf = (name) => {
    try {
      return window[name] ?? NO_STORE;
    } catch {
      return NO_STORE;
    }
  };
  const tabStore = storeOf("sessionStorage");
  const draftStore = storeOf("localStorage");
  const kept = (store, name, otherwise) => {
    try {
      return JSON.parse(store.getItem(name)) ?? otherwise;
    } catch {
      return otherwise;
    }
  };
  const keep = (store, name, what) => {
    try {
      store.setItem(name, JSON.stringify(what));
      return true;
    } catch {
      return false;
    }
  };

  // A key press is answered part by part: a part that says the same stays as it is.
  document.addEventListener("htmx:oobBeforeSwap", (event) => {
    const { target, fragment } = event.detail;
    const answer = fragment.firstElementChild;
    const same = answer && answer.id !== "state" && answer.innerHTML === target.innerHTML
      && answer.getAttribute("value") === target.getAttribute("value");
    if (same) event.preventDefault();
  });

  // While the answer to a button is under way, it replaces all: what keys ask for has no place.
  let pressing = false;
  let typings = 0;  // how often something was typed, and how often before the last was asked for
  let asked = 0;
  let asking = false;  // the next may be asked for before the answer to the last has settled
  let sent = new Map();
  let late = [];
  const fieldsNow = () => new Map(new FormData(editor()));
  const press = () => {
    pressing = true;
    asked = typings;
    sent = fieldsNow();
  };
  const isEditors = (elt) => elt.closest?.("#editor");
  document.addEventListener("htmx:confirm", (event) => {
    const { elt } = event.detail;
    if (elt === editor()) pressing && event.preventDefault();
    else if (isEditors(elt)) press();
  });
  document.addEventListener("htmx:configRequest", (event) => {
    if (event.detail.elt !== editor()) return;
    asked = typings;
    asking = true;
  });
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (pressing && event.detail.requestConfig?.elt === editor()) event.detail.shouldSwap = false;
  });
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.requestConfig?.elt === editor()) asking = false;
    else pressing = false;
  });

  // What was typed while it was under way goes into the fields that came.
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (pressing && event.detail.target?.id === "editor") {
      late = [...fieldsNow()].filter(([name, value]) => sent.get(name) !== value);
    }
  });
  const putLate = () => {
    for (const [name, value] of late) {
      const field = editor().elements.namedItem(name);
      if (!field || field.type === "hidden" || field.value === value) continue;
      field.value = value;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    late = [];
  };

  // Whether the answer came and stands on the page.
  const posted = async (fields) => {
    press();
    const before = editor();
    fields.set("csrfmiddlewaretoken", before.elements.csrfmiddlewaretoken.value);
    try {
      await htmx.ajax("POST", `/breads/${bread()}`, {
        target: "#editor",
        select: "#editor",
        swap: "outerHTML show:none",
        values: Object.fromEntries(fields),
      });
    } catch {
      return false;
    }
    return !before.isConnected;
  };

  // --- what is wrong: the answer holds messages, the fields stay as they are

  const markWrong = () => {
    const form = editor();
    const wrong = new Set([...form.querySelectorAll("[data-field]")].map((e) => e.dataset.field));
    for (const field of form.querySelectorAll("[aria-invalid]")) {
      if (!wrong.has(field.id) && field.id !== "text") field.removeAttribute("aria-invalid");
    }
    for (const id of wrong) document.getElementById(id)?.setAttribute("aria-invalid", "true");
    const text = form.elements.view.value === "text" && document.getElementById("text");
    if (text) text.setAttribute("aria-invalid", String(problems() > 0));
  };

  const problems = () => Number(document.getElementById("state")?.dataset.problems ?? 0);
  let problemsBefore = 0;

  const tellProblems = () => {
    const now = problems();
    if (now !== problemsBefore) {
      document.getElementById("told").textContent = now
        ? `${now} ${now === 1 ? "problem" : "problems"}; the numbers are those from before.`
        : "The numbers are up to date.";
    }
    problemsBefore = now;
  };

  // --- undo: every state of the text in this tab, also over a reload, with the revision it was
  // made from: a state from before somebody else's save must not go over that save unseen

  const MOST_STATES = 200;
  const MOST_SIGNS = 1500000;
  const PAUSE = 1200;
  let lastField = "";
  let lastTime = 0;

  const statesName = () => `undo:${bread()}`;
  const states = () => kept(tabStore, statesName(), { steps: [], at: -1 });
  const keepStates = (s) => keep(tabStore, statesName(), s);

  const remember = () => {
    const now = { text: value("now"), expected: editor().elements.expected.value };
    const s = states();
    const here = s.steps[s.at];
    if (here?.text === now.text && here.expected === now.expected) return showUndo(s);
    const field = document.activeElement?.id ?? "";
    const goesOn = field && field === lastField && Date.now() - lastTime < PAUSE && s.at > 0;
    s.steps.splice(goesOn && s.at === s.steps.length - 1 ? s.at : s.at + 1);
    s.steps.push(now);
    const signs = () => s.steps.reduce((sum, step) => sum + step.text.length, 0);
    while (s.steps.length > MOST_STATES || (s.steps.length > 1 && signs() > MOST_SIGNS)) s.steps.shift();
    s.at = s.steps.length - 1;
    lastField = field;
    lastTime = Date.now();
    keepStates(s);
    showUndo(s);
  };

  const showUndo = (s) => {
    for (const button of editor().querySelectorAll("[data-undo]")) {
      button.disabled = button.dataset.undo === "undo" ? s.at < 1 : s.at >= s.steps.length - 1;
    }
  };

  // Not at every key: the states are written to the tab's store, and that takes its time.
  let toRemember = 0;
  const rememberSoon = () => {
    clearTimeout(toRemember);
    toRemember = setTimeout(rememberNow, 250);
  };
  const rememberNow = () => {
    clearTimeout(toRemember);
    toRemember = 0;
    remember();
  };

  // The place among the states moves once the page shows the other state; one step after another.
  let stepping = Promise.resolve();
  const stepTo = (by) => { stepping = stepping.then(() => step(by)); };
  const step = async (by) => {
    if (toRemember) rememberNow();
    const { steps, at } = states();
    const to = steps[at + by];
    const stands = to && await posted(new Map([
      ["expected", to.expected], ["view", editor().elements.view.value],
      ["good", value("good")], ["message", value("message")],
      ["text", to.text], ["do", by < 0 ? "undo" : "redo"],
    ]));
    if (!stands) return;
    const now = states();
    if (now.steps[at + by]?.text === to.text) now.at = at + by;
    keepStates(now);
    showUndo(now);
    lastField = "";
  };

  // What was made from a revision before one's own save may go over that save.
  const rebase = (from, to) => {
    const s = states();
    for (const step of s.steps) if (step.expected === from) step.expected = to;
    keepStates(s);
  };

  // --- drafts: what stands in the form, kept until it is saved

  const MOST_DRAFTS = 20;
  const tab = (() => {
    const found = kept(tabStore, "tab", "") || `${Date.now()}-${Math.random().toString(36).slice(2, 8)}`;
    keep(tabStore, "tab", found);
    return found;
  })();
  const drafts = (of) => Object.keys(draftStore)
    .filter((name) => name.startsWith(of))
    .map((name) => ({ name, ...kept(draftStore, name, { at: 0, fields: [] }) }))
    .sort((a, b) => b.at - a.at);
  const ownDraft = () => `draft:${bread()}:${number()}:${tab}`;
  let offered = null;

  // Kept with every key: a tab may go at any moment.
  const keepDraft = () => {
    const isNew = draftStore.getItem(ownDraft()) === null;
    const fields = [...new FormData(editor())].filter(([name]) => name !== "csrfmiddlewaretoken");
    const draft = { at: Date.now(), number: number(), fields };
    if (offered?.name === ownDraft()) {  // typing on is no answer to what is offered
      keep(draftStore, `${offered.name}:before`, offered);
      offered.name += ":before";
    }
    while (!keep(draftStore, ownDraft(), draft)) {
      const oldest = drafts("draft:").filter((d) => d.name !== ownDraft()).pop();
      if (!oldest) break;
      draftStore.removeItem(oldest.name);
    }
    if (isNew) for (const old of drafts("draft:").slice(MOST_DRAFTS)) draftStore.removeItem(old.name);
  };
  const dropOwn = () => {
    if (offered?.name !== ownDraft()) draftStore.removeItem(ownDraft());
  };

  const offerDraft = () => {
    const box = document.getElementById("draft");
    offered = drafts(`draft:${bread()}:`)[0] ?? null;
    box.hidden = !offered;
    if (!offered) return;
    const at = new Date(offered.at);
    const day = at.toDateString() === new Date().toDateString() ? "" : ` of ${at.toLocaleDateString()}`;
    const time = `${at.getHours()}:${String(at.getMinutes()).padStart(2, "0")}`;
    const over = offered.number === number() ? "" : `, made from revision ${offered.number}`;
    box.querySelector("p").textContent = `Here are your unsaved changes from ${time}${day}${over}.`;
  };

  // One that is taken up goes once it stands on the page; without an answer it is offered again.
  const answerDraft = async (take) => {
    const box = document.getElementById("draft");
    const answered = offered;
    box.hidden = true;
    if (take && !(await posted(new Map([...answered.fields, ["do", "look"]])))) {
      box.hidden = false;
      return;
    }
    offered = null;
    if (take) keepDraft();
    if (!take || answered.name !== ownDraft()) draftStore.removeItem(answered.name);
  };

  // A draft is settled by a save or by taking theirs, and only by that: the address that such an
  // answer leads to names the draft, and the revision that was made of it.
  const nameDraft = () => {
    editor().elements.draft.value = offered?.name === ownDraft() ? "" : ownDraft();
  };
  const dropSettled = () => {
    const address = new URL(location.href);
    const draft = address.searchParams.get("draft");
    if (!draft) return;
    const saved = address.searchParams.get("saved");
    const [, of, from, by] = draft.split(":");
    if (saved && of === bread() && by === tab) rebase(from, saved);
    draftStore.removeItem(draft);
    for (const name of ["draft", "saved"]) address.searchParams.delete(name);
    history.replaceState(history.state, "", address);
  };

  // --- Enter: the button it stands for is not seen with script. Beside Save it saves, in an empty
  // row it adds what was typed, anywhere else it stays: the numbers come by themselves

  const enter = (field) => {
    const button = field.id === "message" ? editor().querySelector('button[value="save"]')
      : field.closest(".row.new")?.querySelector(".moves button");
    setTimeout(() => button?.click());  // a form is not submitted out of its own submission
  };

  // What was added is seen over where one stands, and both over the bar that saves.
  const stand = (here) => {
    if (!editor().contains(here)) return;
    for (const part of [here.closest(".row")?.previousElementSibling, here]) {
      part?.scrollIntoView({ block: "nearest" });
    }
  };

  // --- when

  const looked = () => {
    markWrong();
    rememberSoon();
    tellProblems();
    if (isChanged()) keepDraft();
    else if (asked === typings && !asking) dropOwn();
  };

  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful && event.detail.elt === editor()) looked();
  });
  document.addEventListener("htmx:afterSettle", (event) => {
    if (event.detail.elt.id !== "editor") return;
    stand(document.activeElement);
    looked();
    putLate();
  });
  document.addEventListener("input", (event) => {
    if (!event.target.closest?.("#editor")) return;
    typings += 1;
    keepDraft();
  });
  // Another verb may carry other keys: they come with the whole step.
  document.addEventListener("change", (event) => {
    const step = event.target.closest?.("li.process-step");
    if (step?.querySelector(":scope > .margin").contains(event.target)) step.querySelector("[data-again]").click();
  });
  document.addEventListener("click", (event) => {
    const undo = event.target.closest?.("[data-undo]");
    const draft = event.target.closest?.("[data-draft]");
    if (undo) stepTo(undo.dataset.undo === "undo" ? -1 : 1);
    if (draft) answerDraft(draft.dataset.draft === "take");
  });
  document.addEventListener("submit", (event) => {
    if (event.target.id !== "editor") return;
    if (event.submitter?.value === "save") nameDraft();
    if (event.submitter?.value === "look") {
      event.preventDefault();
      enter(document.activeElement);
    }
  });
  for (const name of ["pagehide", "visibilitychange"]) {
    window.addEventListener(name, () => { if (toRemember) rememberNow(); });
  }
  // A page out of the browser's memory may be older than what was saved since: it comes anew, and
  // with it what was typed in it.
  window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });

  document.documentElement.classList.add("scripted-page");
  if (editor()) {
    problemsBefore = problems();
    dropSettled();
    if (!isChanged()) offerDraft();
    remember();
    if (isChanged()) keepDraft();
  }
})();
