// What the pages gain with script; each works without it.
"use strict";

// A refused part still goes on the page: it says why.
document.addEventListener("htmx:beforeSwap", (event) => {
  const status = event.detail.xhr.status;
  if (status === 409 || status === 422) {
    event.detail.shouldSwap = true;
    event.detail.isError = false;
  }
});

// No answer at all: say so where a screen reader hears it, lose nothing. The next answer takes
// it away.
const said = document.getElementById("said");
for (const name of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
  document.addEventListener(name, (event) => {
    const status = event.detail.xhr ? event.detail.xhr.status : 0;
    if (status === 409 || status === 422) return;
    said.textContent = status === 401
      ? "This device was put out: let it in again. What you typed is still here."
      : "Doughwright does not answer. What you typed is still here; it goes on when it is back.";
  });
}
document.addEventListener("htmx:beforeOnLoad", () => { said.textContent = ""; });
