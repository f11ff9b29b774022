/* Turns the still pictures of charts into live ones, and loads what a page needs later. Without this file, without
   the chart library or after any failure, the page is complete: picture, sentence and table stay.
   The library and each chart's specification are loaded when a chart comes near the view. */
(() => {
  "use strict";

  const prefersDark = window.matchMedia("(prefers-color-scheme: dark)");
  const library = new URL("vega.js", document.currentScript.src).href;
  const THEMES = "charts/themes.js";
  const loading = new Map();

  /* A page opened as a file may load scripts, and nothing else. */
  function loaded(src) {
    if (!loading.has(src)) {
      loading.set(src, new Promise((resolve, reject) => {
        const script = document.createElement("script");
        script.addEventListener("load", resolve);
        script.addEventListener("error", reject);
        script.src = src;
        document.head.append(script);
      }));
    }
    return loading.get(src);
  }

  async function specOf({ area }) {
    await Promise.all([library, THEMES, area.dataset.script].map(loaded));
    return window.chartSpecs[area.dataset.chart];
  }

  function theme() {
    return window.chartThemes[prefersDark.matches ? "dark" : "light"];
  }

  function options() {
    return {
      actions: false,
      ast: true, // interprets expressions: the page's policy forbids building code from text
      defaultStyle: false, // and forbids injected styles; style.css has what is needed
      renderer: "svg",
      tooltip: { disableDefaultStyle: true },
      config: theme(),
    };
  }

  function chartIn(area) {
    return { area, figure: area.closest("figure") ?? area, drawing: 0, shown: null };
  }

  /* Draws beside the old chart, then swaps, so that a failure leaves what was there. A newer
     drawing (the scheme changed again meanwhile) makes an older one void. */
  async function draw(chart) {
    const drawing = ++chart.drawing;
    const spec = await specOf(chart).catch(() => null);
    if (!spec || drawing !== chart.drawing) return;
    const host = document.createElement("div");
    host.className = "chart-live";
    host.setAttribute("aria-hidden", "true"); // alt text, sentence and table speak for it
    chart.area.append(host);
    try {
      const result = await window.vegaEmbed(host, structuredClone(spec), options());
      if (drawing !== chart.drawing) {
        result.finalize();
        host.remove();
        return;
      }
      remove(chart.shown);
      chart.shown = { host, result };
      chart.figure.classList.add("is-live");
    } catch {
      host.remove();
      if (!chart.shown) chart.figure.classList.add("is-still");
    }
  }

  function remove(shown) {
    if (!shown) return;
    shown.result.finalize();
    shown.host.remove();
  }

  /* Charts far below are not worth a phone's battery until the reader comes near. */
  function whenNear(charts, act) {
    if (!("IntersectionObserver" in window)) {
      charts.forEach(act);
      return;
    }
    const observer = new IntersectionObserver((entries) => {
      for (const entry of entries.filter((each) => each.isIntersecting)) {
        observer.unobserve(entry.target);
        act(charts.find((chart) => chart.area === entry.target));
      }
    }, { rootMargin: "400px 0px" });
    charts.forEach((chart) => observer.observe(chart.area));
  }

  /* Vega fills an element of this name when it finds one. Ours is silent, since the table says
     the same, and Escape puts it away. */
  function placeTooltip() {
    const tooltip = document.createElement("div");
    tooltip.id = "vg-tooltip-element";
    tooltip.setAttribute("aria-hidden", "true");
    document.body.append(tooltip);
    document.addEventListener("keydown", (event) => {
      if (event.key === "Escape") tooltip.classList.remove("visible");
    });
  }

  /* What only moves the figures comes after the page can be read, one script after another. */
  async function loadLater() {
    for (const part of document.querySelectorAll("[data-later]")) {
      for (const src of part.dataset.later.split(" ")) await loaded(src);
    }
  }

  function start() {
    const charts = [...document.querySelectorAll("[data-script]")].map(chartIn);
    placeTooltip();
    whenNear(charts, draw);
    prefersDark.addEventListener("change", () => {
      charts.filter((chart) => chart.drawing > 0).forEach(draw);
    });
  }

  window.addEventListener("load", () => loadLater().catch(() => {})); // that part stays as it is
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", start);
  else start();
})();
