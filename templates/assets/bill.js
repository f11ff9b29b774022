/* Shows one member's bill under every option. The engine worked each out at two points when the site
   was built; a bill is a straight line in the hours, so what lies between is exact. The number
   lives in the page and its address alone: nothing is stored, and nothing is asked of the network. */
(() => {
  "use strict";

  const block = document.getElementById("bill-data");
  const form = document.getElementById("bill");
  if (!block || !form) return;
  const { hours: [low, high], bills, inAll, baseline, titles, writing, texts } = JSON.parse(block.textContent);
  const { cents, changeCents, number, plain, read, none } = window.panelworthFormats(writing);
  const { filled, counted } = window.panelworthTexts;
  const field = document.getElementById("bill-hours");
  const slider = document.getElementById("bill-slider");
  const note = document.getElementById("bill-hours-note");
  const hint = note.textContent;
  const status = document.getElementById("bill-status");

  const KEYS = ["month", "hour", "gap", "year", "in_all"];

  function between([first, last], hours) {
    return first + ((last - first) * (hours - low)) / (high - low);
  }

  function billsAt(hours) {
    return Object.fromEntries(Object.entries(bills).map(([id, ends]) => [id, between(ends, hours)]));
  }

  function show(id, key, text) {
    form.querySelector(`[data-option="${CSS.escape(id)}"][data-figure="${key}"]`).textContent = text;
  }

  const told = (hours) => filled(counted(texts.hours, hours), { hours: number(hours) });

  function showBills(hours) {
    const found = billsAt(hours);
    for (const [id, bill] of Object.entries(found)) {
      const compared = id !== baseline && baseline in found; // an option without funding has no bill
      const more = bill - found[baseline];
      show(id, "month", cents(bill));
      show(id, "hour", hours > 0 ? cents((bill * 12) / hours) : none);
      show(id, "gap", compared ? changeCents(more) : none);
      show(id, "year", compared ? changeCents(more * 12) : none);
      show(id, "in_all", inAll[id].some(Boolean) ? cents(between(inAll[id], hours)) : none);
    }
    if (!Object.keys(found).length) return;
    const least = cents(Math.min(...Object.values(found)));
    const best = Object.keys(found).filter((id) => cents(found[id]) === least);
    const names = best.map((id) => filled(texts.quoted, { name: titles[id] })).join(` ${texts.and} `);
    status.textContent = filled(counted(texts.least, best.length), { hours: told(hours), options: names, least });
  }

  /* The hours in a text, or what is wrong with it: the name of a message. */
  function hoursIn(text) {
    const found = text.trim() ? read(text) : { wrong: "range" };
    return found.value < low || found.value > high ? { wrong: "range" } : found;
  }

  const first = hoursIn(field.defaultValue).value;

  function tellSlider(text, spoken) {
    slider.previousElementSibling.textContent = text;
    slider.setAttribute("aria-valuetext", spoken);
  }

  /* Nothing may be shown that belongs to other hours than those in the field. */
  function blank() {
    for (const id of Object.keys(bills)) {
      for (const key of KEYS) show(id, key, none);
    }
    tellSlider(none, none);
    status.textContent = "";
  }

  function update() {
    const { value: hours, wrong } = hoursIn(field.value);
    field.setAttribute("aria-invalid", String(Boolean(wrong)));
    note.textContent = wrong ? note.dataset[wrong] : hint;
    if (wrong) {
      blank();
    } else {
      slider.value = String(hours);
      tellSlider(number(hours), told(hours));
      showBills(hours);
    }
    address.remember();
  }

  function chosen() {
    const { value: hours = first } = hoursIn(field.value);
    return hours === first ? "" : `hours=${hours}`;
  }

  /* An address has a decimal point in every language. What is no number of hours is passed over. */
  function put(state) {
    const hours = Number(state.get("hours")?.trim() || NaN);
    field.value = hours >= low && hours <= high ? plain(hours) : field.defaultValue;
  }

  const address = window.panelworthAddress({
    form, keys: ["hours"], put, chosen, update,
  });

  form.querySelector("fieldset").disabled = false;
  field.addEventListener("input", update);
  slider.addEventListener("input", () => {
    field.value = plain(Number(slider.value));
    update();
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.querySelector("button").addEventListener("click", () => {
    field.value = field.defaultValue;
    update();
  });
  if (location.hash && address.read()) form.scrollIntoView();
})();
