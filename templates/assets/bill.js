/* Shows one member's bill under every option. The engine worked each out at two points when the site
   was built; a bill is a straight line in the hours, so what lies between is exact. The number
   lives in the page and its address alone: nothing is stored, and nothing is asked of the network. */
(() => {
  "use strict";

  const block = document.getElementById("bill-data");
  const form = document.getElementById("bill");
  if (!block || !form) return;
  const { hours: [low, high], kinds, bills, order, baseline, titles, width, writing, texts } = JSON.parse(block.textContent);
  const { money, change, number, plain, read, none } = window.panelworthFormats(writing);
  const { toStep } = window.panelworthRounding;
  const { filled, counted, listed } = window.panelworthTexts;
  const field = document.getElementById("bill-hours");
  const slider = document.getElementById("bill-slider");
  const status = document.getElementById("bill-status");
  const buttons = form.querySelectorAll("button");
  const track = (id) => form.querySelector(`[data-option="${CSS.escape(id)}"]`);

  const kindOf = (place) => kinds[place] ?? kinds[0];
  const first = kindOf(Number(new URLSearchParams(location.search).get("member")));

  const between = ([start, end], hours) => start + ((end - start) * (hours - low)) / (high - low);
  const hoursText = (hours) => filled(counted(texts.hours, hours), { hours: number(hours) });

  /* The baseline's sum and the difference are rounded each for itself; the total is their sum. */
  function sumsAt(hours) {
    const exact = Object.entries(bills).map(([id, ends]) => [id, between(ends, hours)]);
    const under = Object.fromEntries(exact)[baseline];
    return Object.fromEntries(exact.map(([id, bill]) => {
      const base = toStep(under ?? bill, 1);
      const difference = toStep(bill - (under ?? bill), 1);
      return [id, { base, difference, total: base + difference }];
    }));
  }

  function show(id, key, text) {
    track(id).querySelector(`[data-figure="${key}"]`).textContent = text;
  }

  function draw(id, { base, difference, total }, scale) {
    const [common, gap] = track(id).querySelectorAll("rect");
    const start = Math.max(Math.min(base, total), 0) * scale;
    common.setAttribute("width", start.toFixed(1));
    gap.setAttribute("x", start.toFixed(1));
    gap.setAttribute("width", (Math.abs(difference) * scale).toFixed(1));
    gap.setAttribute("class", difference > 0 ? "more" : "less");
  }

  function showBills(hours) {
    const sums = sumsAt(hours);
    const most = Math.max(0, ...Object.values(sums).flatMap(({ base, total }) => [base, total]));
    for (const [id, sum] of Object.entries(sums)) {
      const compared = id !== baseline && baseline in sums; // an option without funding has no bill
      show(id, "total", money(sum.total));
      show(id, "more", compared ? change(sum.difference) : "");
      draw(id, sum, most > 0 ? width / most : 0);
    }
    if (!Object.keys(sums).length) return;
    const least = Math.min(...Object.values(sums).map(({ total }) => total));
    const best = order.filter((id) => sums[id]?.total === least);
    status.textContent = filled(counted(texts.least, best.length), {
      hours: hoursText(hours), options: listed(best.map((id) => titles[id])), least: money(least),
    });
  }

  /* The hours in a text, or what is wrong with it: the name of a message. */
  function hoursIn(text) {
    const result = text.trim() ? read(text) : { wrong: "range" };
    return result.value < low || result.value > high ? { wrong: "range" } : result;
  }

  /* Nothing may be shown that belongs to other hours than those in the field. */
  function blank(wrong) {
    for (const id of Object.keys(bills)) {
      show(id, "total", none);
      show(id, "more", "");
      draw(id, { base: 0, difference: 0, total: 0 }, 0);
    }
    slider.setAttribute("aria-valuetext", none);
    status.textContent = texts.wrong[wrong];
  }

  function update() {
    const { value: hours, wrong } = hoursIn(field.value);
    field.setAttribute("aria-invalid", String(Boolean(wrong)));
    buttons.forEach((button, place) => button.setAttribute("aria-pressed", String(hours === kinds[place])));
    if (wrong) {
      blank(wrong);
    } else {
      slider.value = String(hours);
      slider.setAttribute("aria-valuetext", hoursText(hours));
      showBills(hours);
    }
    address.remember();
  }

  function chosen() {
    const { value: hours = first } = hoursIn(field.value);
    return hours === first ? "" : `hours=${hours}`;
  }

  function choose(hours) {
    field.value = plain(hours);
    update();
  }

  /* An address has a decimal point in every language. What is no number of hours is passed over. */
  function put(state) {
    const hours = Number(state.get("hours")?.trim() || NaN);
    field.value = plain(hours >= low && hours <= high ? hours : first);
  }

  const address = window.panelworthAddress({
    form, keys: ["hours"], put, chosen, update,
  });

  form.querySelector("fieldset").disabled = false;
  field.addEventListener("input", update);
  slider.addEventListener("input", () => choose(Number(slider.value)));
  form.addEventListener("submit", (event) => event.preventDefault());
  buttons.forEach((button, place) => button.addEventListener("click", () => choose(kinds[place])));
  if (!(location.hash && address.read()) && first !== kinds[0]) choose(first);
})();
