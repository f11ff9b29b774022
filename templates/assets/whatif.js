/* Moves inputs on the comparison page. All figures are the engine's, worked out when the site was
   built at the corners of a box; in between they are exact along straight lines (multilinear).
   The state lives in the address, so that "look at this" can be sent; nothing is stored or asked. */
(() => {
  "use strict";

  const form = document.getElementById("whatif");
  if (!form) return;
  const { axes, gains, track, step, order, baseline, titles, writing, texts } = window.whatifData;
  const sliders = axes.map((axis) => document.getElementById(`whatif-${axis.key}`));
  const status = document.getElementById("whatif-status");
  const planned = status.textContent;

  const { change, fixed } = window.panelworthFormats(writing);
  const { toStep } = window.panelworthRounding;
  const { filled, counted, listed } = window.panelworthTexts;

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

  function gainsAt(shifts) {
    const places = axes.map((axis, number) => placeOn(axis, shifts[number]));
    return Object.fromEntries(
      Object.entries(gains).map(([id, values]) => [id, interpolated(values, places)]));
  }

  function show(id, gain) {
    const row = form.querySelector(`[data-option="${CSS.escape(id)}"]`);
    const x = (track.start + (gain - track.low) * track.scale).toFixed(1);
    row.querySelector('[data-figure="mark"]').setAttribute("transform", `translate(${x} 10)`);
    row.querySelector('[data-figure="sum"]').textContent = change(toStep(gain, step));
  }

  const shiftOf = (axis, slider) => Number(slider.value) / axis.scale - axis.offset;

  function valueText(axis, text) {
    const value = Number(text);
    const [before, after] = axis.around;
    return `${axis.signed && value > 0 ? "+" : ""}${before}${fixed(value, axis.digits)}${after}`;
  }

  const moved = () => axes.map((axis, number) => ({ axis, slider: sliders[number] }))
    .filter(({ slider }) => slider.value !== slider.defaultValue);

  /* Which of options, the baseline among them, bring most, by the sums that are shown. Whether two
     are level is for the futures to say, which are not drawn anew here: so it is said as planned
     only. On paper there are no sliders, so what is moved is said beside the figures it moved. */
  function say(gainsNow) {
    const named = moved().map(
      ({ axis, slider }) => filled(texts.moved, { label: axis.label, value: valueText(axis, slider.value) }));
    const shown = { ...gainsNow, [baseline]: 0 };
    const sums = order.map((id) => [titles[id], toStep(shown[id], step)]);
    const most = Math.max(...sums.map(([, sum]) => sum));
    const best = sums.filter(([, sum]) => sum === most).map(([title]) => title);
    status.textContent = !named.length ? planned : filled(counted(texts.most, best.length), {
      moved: named.join(", "), options: listed(best),
    });
  }

  const chosen = () => moved().map(({ axis, slider }) => `${axis.key}=${slider.value}`).join("&");

  /* What a slider says, with what was planned beside it once it is moved. */
  function tell(axis, slider) {
    const value = valueText(axis, slider.value);
    const before = valueText(axis, slider.defaultValue);
    slider.previousElementSibling.textContent = value === before
      ? value : filled(texts.planned, { value, planned: before });
    slider.setAttribute("aria-valuetext", value);
  }

  function update() {
    axes.forEach((axis, number) => tell(axis, sliders[number]));
    const gainsNow = gainsAt(axes.map((axis, number) => shiftOf(axis, sliders[number])));
    for (const [id, gain] of Object.entries(gainsNow)) show(id, gain);
    say(gainsNow);
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
  if (location.hash) address.read();
})();
