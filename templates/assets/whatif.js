/* Moves inputs on the comparison page. All figures are the engine's, worked out when the site was
   built at the corners of a box; in between they are exact along straight lines (multilinear).
   The state lives in the address, so that "look at this" can be sent; nothing is stored or asked. */
(() => {
  "use strict";

  const form = document.getElementById("whatif");
  if (!form) return;
  const { axes, options, baseline, years, rate, writing, club, titles, alike, texts } = window.whatifData;
  const sliders = axes.map((axis) => document.getElementById(`whatif-${axis.key}`));
  const status = document.getElementById("whatif-status");

  const { money, cents, change, fixed, none } = window.panelworthFormats(writing);
  const { filled } = window.panelworthTexts;

  /* Between which two grid points a shift lies, and how far along. */
  function placeOn(axis, shift) {
    let place = 0;
    while (place < axis.points.length - 2 && shift > axis.points[place + 1]) place += 1;
    const [low, high] = axis.points.slice(place, place + 2);
    return { place, share: (shift - low) / (high - low) };
  }

  /* Grid values lie in one row, the last axis running fastest, each written once. */
  function interpolated({ values, at: grid }, places) {
    let total = 0;
    for (let corner = 0; corner < 2 ** axes.length; corner += 1) {
      let weight = 1;
      let at = 0;
      axes.forEach((axis, number) => {
        const side = (corner >> number) & 1;
        const { place, share } = places[number];
        weight *= side ? share : 1 - share;
        at = at * axis.points.length + place + side;
      });
      if (weight) total += weight * values[grid[at]];
    }
    return total;
  }

  function figuresAt(shifts) {
    const places = axes.map((axis, number) => placeOn(axis, shifts[number]));
    const found = {};
    for (const [id, figures] of Object.entries(options)) {
      found[id] = Object.fromEntries(
        Object.entries(figures).map(([key, values]) => [key, interpolated(values, places)]));
    }
    return found;
  }

  function show(id, key, text) {
    const cell = form.querySelector(`[data-option="${CSS.escape(id)}"][data-figure="${key}"]`);
    if (cell) cell.textContent = text;
  }

  const annual = (cost) => (rate ? (cost * rate) / (1 - (1 + rate) ** -years) : cost / years);

  /* Returns the option that brings most and, where too near to it to tell a winner, the next. */
  function showFigures(found) {
    for (const [id, at] of Object.entries(found)) {
      show(id, "upfront", money(at.upfront));
      show(id, "gap", id === baseline ? none : change(at.benefit - found[baseline].benefit));
      show(id, "hour", at.hours > 0 ? cents(at.cost_npv / at.hours) : none);
      show(id, "spread", club
        ? (at.members > 0 ? money(at.cost_npv / at.members) : none)
        : money(annual(at.cost_npv)));
    }
    const gains = Object.entries(found)
      .map(([id, at]) => [id, at.benefit - found[baseline].benefit])
      .sort(([, a], [, b]) => b - a);
    const [[best, most], [next, second] = []] = gains;
    const near = Math.max(alike.close, alike.near * Math.max(Math.abs(most), Math.abs(second)));
    return { option: titles[best], other: most - second <= near ? titles[next] : "" };
  }

  const shiftOf = (axis, slider) => Number(slider.value) / axis.scale - axis.offset;

  function told(axis, slider) {
    const value = Number(slider.value);
    const [before, after] = axis.around;
    return `${axis.signed && value > 0 ? "+" : ""}${before}${fixed(value, axis.digits)}${after}`;
  }

  const moved = () => axes.map((axis, number) => ({ axis, slider: sliders[number] }))
    .filter(({ slider }) => slider.value !== slider.defaultValue);

  /* On paper there are no sliders, so what is moved is said beside the figures it moved. */
  function say({ option, other }) {
    const named = moved().map(
      ({ axis, slider }) => filled(texts.moved, { label: axis.label, value: told(axis, slider) }));
    const text = texts[`${named.length ? "with" : "best"}${other ? "Alike" : ""}`];
    status.textContent = filled(text, { moved: named.join(", "), option, other });
    status.classList.toggle("screen-only", named.length === 0);
  }

  const chosen = () => moved().map(({ axis, slider }) => `${axis.key}=${slider.value}`).join("&");

  function update() {
    axes.forEach((axis, number) => {
      const text = told(axis, sliders[number]);
      sliders[number].previousElementSibling.textContent = text;
      sliders[number].setAttribute("aria-valuetext", text);
    });
    say(showFigures(figuresAt(axes.map((axis, number) => shiftOf(axis, sliders[number])))));
    address.remember();
  }

  function put(state) {
    axes.forEach((axis, number) => {
      const value = Number(state.get(axis.key)?.trim() || NaN);
      sliders[number].value = Number.isFinite(value) ? String(value) : sliders[number].defaultValue;
    });
  }

  const address = window.panelworthAddress({
    form, keys: axes.map((axis) => axis.key), put, chosen, update,
  });

  form.querySelector("fieldset").disabled = false;
  form.addEventListener("input", update);
  form.querySelector("button").addEventListener("click", () => {
    sliders.forEach((slider) => { slider.value = slider.defaultValue; });
    update();
  });
  if (location.hash && address.read()) form.scrollIntoView();
})();
