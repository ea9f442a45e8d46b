// The gather page with script: the text and the answers stay in this tab until they are a bread.
"use strict";

(() => {
  const NAME = "gathered";
  const form = document.querySelector("form.gather");
  const box = document.getElementById("had");
  if (!form || !box) return;

  // A browser that keeps nothing offers nothing; there the store cannot even be named.
  const stored = (use, otherwise = null) => {
    try {
      return use(window.sessionStorage) ?? otherwise;
    } catch {
      return otherwise;
    }
  };
  const said = () => [...new FormData(form)]
    .filter(([name, value]) => name !== "csrfmiddlewaretoken" && typeof value === "string");
  const hasText = () => form.elements.text.value.trim() !== "";
  const had = stored((store) => JSON.parse(store.getItem(NAME)), []);

  // What is offered and not yet answered is kept as long as nothing else was begun.
  const keep = () => {
    if (hasText()) stored((store) => store.setItem(NAME, JSON.stringify(said())));
  };
  const drop = () => stored((store) => store.removeItem(NAME));

  const offer = () => {
    const text = had.find(([name]) => name === "text")?.[1] ?? "";
    const first = text.split("\n").map((line) => line.trim()).find(Boolean);
    if (!first) return;
    const isAnswered = had.some(([name, value]) => /^[aw]:/.test(name) && value);
    const beside = isAnswered ? ", with your answers" : "";
    box.querySelector("p").textContent = `Here is what you had: “${first.slice(0, 80)}”${beside}.`;
    box.hidden = false;
  };

  // As a form of its own, so that nothing of the empty page goes with it.
  const goOn = () => {
    const again = document.createElement("form");
    again.method = "post";
    again.action = form.action;
    const token = ["csrfmiddlewaretoken", form.elements.csrfmiddlewaretoken.value];
    for (const [name, value] of [...had, token, ["do", "draft"]]) {
      const field = document.createElement("textarea");
      field.name = name;
      field.value = value;
      again.append(field);
    }
    again.hidden = true;
    document.body.append(again);
    again.submit();
  };

  form.addEventListener("input", keep);
  form.addEventListener("submit", (event) => {
    if (event.submitter?.value === "make") drop();  // refused, it comes back and is kept again
    else keep();
  });
  box.addEventListener("click", (event) => {
    const answer = event.target.closest("[data-had]")?.dataset.had;
    if (answer === "take") goOn();
    if (answer === "drop") {
      drop();
      box.hidden = true;
    }
  });
  // After the browser has put back what was chosen, on its way back to this page.
  window.addEventListener("pageshow", () => {
    if (hasText()) keep();
    else offer();
  });
})();
