/* Comfort for the desk, which works without it: on a wide screen the page is shown beside its form,
   and a form that was changed and not saved asks before it is left. */
(() => {
  "use strict";
  const link = document.querySelector("[data-preview]");
  const wide = matchMedia("(min-width: 84rem)");
  const beside = () => {
    if (!link || !wide.matches || document.querySelector(".preview")) return;
    const frame = document.createElement("iframe");
    frame.className = "preview";
    frame.title = link.textContent;
    frame.src = link.href;
    document.querySelector(".sheet").append(frame);
  };
  beside();
  wide.addEventListener("change", beside);

  let changed = false;
  const form = document.querySelector("form.fields");
  form?.addEventListener("input", () => { changed = true; });
  document.addEventListener("submit", () => { changed = false; });
  addEventListener("beforeunload", (leaving) => { if (changed) leaving.preventDefault(); });
})();
