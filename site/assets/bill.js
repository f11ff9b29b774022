/* Shows one member's bill under every option. The engine worked each out at two points when the site
   was built; a bill is a straight line in the hours, so what lies between is exact. The number
   lives in the page and its address alone: nothing is stored, and nothing is asked of the network. */
(() => {
  "use strict";

  const block = document.getElementById("bill-data");
  const form = document.getElementById("bill");
  if (!block || !form) return;
  const { hours: [low, high], bills, baseline, titles, writing, texts } = JSON.parse(block.textContent);
  const { cents, changeCents, number, none } = window.panelworthFormats(writing);
  const { filled, counted } = window.panelworthTexts;
  const field = document.getElementById("bill-hours");
  const slider = document.getElementById("bill-slider");
  const status = document.getElementById("bill-status");

  function billsAt(hours) {
    const share = (hours - low) / (high - low);
    return Object.fromEntries(Object.entries(bills).map(
      ([id, [first, last]]) => [id, first + (last - first) * share]));
  }

  function show(id, key, text) {
    form.querySelector(`[data-option="${CSS.escape(id)}"][data-figure="${key}"]`).textContent = text;
  }

  const told = (hours) => filled(counted(texts.hours, hours), { hours: number(hours) });

  function showBills(hours) {
    const found = billsAt(hours);
    for (const [id, bill] of Object.entries(found)) {
      const more = bill - found[baseline];
      show(id, "month", cents(bill));
      show(id, "hour", hours > 0 ? cents((bill * 12) / hours) : none);
      show(id, "gap", id === baseline ? none : changeCents(more));
      show(id, "year", id === baseline ? none : changeCents(more * 12));
    }
    const least = cents(Math.min(...Object.values(found)));
    const best = Object.keys(found).filter((id) => cents(found[id]) === least);
    const names = best.map((id) => filled(texts.quoted, { name: titles[id] })).join(` ${texts.and} `);
    status.textContent = filled(counted(texts.least, best.length), { hours: told(hours), options: names, least });
  }

  const hoursOf = (text) => Math.abs(Number(text)); // of "-0", which a field lets pass as no less than 0
  const isHours = () => field.value !== "" && field.validity.valid;

  function update() {
    const wrong = !isHours();
    field.setAttribute("aria-invalid", String(wrong));
    if (wrong) {
      status.textContent = status.dataset.wrong;
      return;
    }
    const hours = hoursOf(field.value);
    slider.value = String(hours);
    slider.previousElementSibling.textContent = number(hours);
    slider.setAttribute("aria-valuetext", told(hours));
    showBills(hours);
    remember();
  }

  function remember() {
    if (!isHours()) return;
    const hours = hoursOf(field.value);
    const state = hours === hoursOf(field.defaultValue) ? "" : `#hours=${hours}`;
    if (state || location.hash.includes("=")) history.replaceState(null, "", state || location.pathname);
  }

  /* What is no number of hours is passed over: the page then stays as it is, as with a jump within it. */
  function readAddress() {
    const state = new URLSearchParams(location.hash.slice(1));
    if (location.hash && !state.has("hours")) return false;
    const before = field.value;
    const hours = Number((location.hash ? state.get("hours").trim() : field.defaultValue) || NaN);
    if (Number.isFinite(hours)) field.value = String(hours);
    if (!isHours()) field.value = before;
    update();
    return true;
  }

  form.querySelector("fieldset").disabled = false;
  field.addEventListener("input", update);
  slider.addEventListener("input", () => {
    field.value = slider.value;
    update();
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.querySelector("button").addEventListener("click", () => {
    field.value = field.defaultValue;
    update();
  });
  window.addEventListener("hashchange", () => {
    if (!readAddress()) remember();
  });
  if (location.hash && readAddress()) form.scrollIntoView();
})();
