// The plan's form: sliders that write into their fields, what holds where a field is empty.
"use strict";

(() => {
  const form = document.getElementById("ask");
  const slides = [...form.querySelectorAll("[data-slides]")];
  const fieldOf = (slide) => document.getElementById(slide.dataset.slides);

  // The slider has no name: what is asked stands in the field, for everyone.
  for (const slide of slides) {
    slide.hidden = false;
    slide.addEventListener("input", () => {
      fieldOf(slide).value = `${slide.value} ${slide.dataset.unit}`.trim();
    });
    fieldOf(slide).addEventListener("input", () => {
      const number = Number.parseFloat(fieldOf(slide).value.replace("−", "-"));
      if (Number.isFinite(number)) slide.value = number;
    });
  }
  form.classList.add("answers");

  // Another kitchen has another room: an empty field shows what holds there.
  const showWhatHolds = () => {
    const here = JSON.parse(document.getElementById("plan").dataset.here || "{}");
    for (const [name, word] of Object.entries(here)) {
      const field = form.elements[name];
      if (!field) continue;
      field.placeholder = word;
      const slide = slides.find((one) => fieldOf(one) === field);
      if (slide && !field.value) slide.value = Number.parseFloat(word);
    }
  };

  // The numbers come first; the pictures once nobody slides any more.
  let coming = 0;
  const fetchPictures = () => {
    clearTimeout(coming);
    const plan = document.getElementById("plan");
    if (!plan.dataset.pictures) return;
    coming = setTimeout(async () => {
      try {
        const answer = await fetch(plan.dataset.pictures);
        if (!answer.ok || !plan.isConnected) return;
        const drawn = new DOMParser().parseFromString(await answer.text(), "text/html");
        for (const picture of drawn.querySelectorAll("[id^=picture-]")) {
          document.getElementById(picture.id)?.replaceWith(picture);
        }
      } catch {
        // the page is left, or the server is gone: the figures stand without their picture
      }
    }, 250);
  };

  document.addEventListener("htmx:afterSettle", () => {
    showWhatHolds();
    fetchPictures();
    for (const said of form.querySelectorAll(".wrong")) {
      const field = document.getElementById(said.id.replace(/-wrong$/, ""));
      if (said.textContent.trim()) field.setAttribute("aria-invalid", "true");
      else field.removeAttribute("aria-invalid");
    }
  });
})();
