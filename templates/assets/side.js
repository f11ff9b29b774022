/* Orders, hides and marks columns, and moves groups to the top. It works nothing out: ranks and
   differences were written when the site was built. What is chosen lives in the address alone. */
(() => {
  "use strict";

  const form = document.getElementById("side");
  const status = document.getElementById("side-status");
  const place = document.getElementById("side-groups");
  const mark = document.getElementById("side-best");
  const sections = [...place.children];
  const tables = [...place.querySelectorAll("table")];
  const lines = [...place.querySelectorAll("[data-row]")];
  // Cells by the number of their option, as they stood before anything was ordered.
  const cellsOf = new Map([...tables.map((table) => table.tHead.rows[0]), ...lines]
    .map((line) => [line, [...line.cells].slice(1)]));
  const boxes = (name) => [...form.querySelectorAll(`input[name="${name}"]`)];
  const picked = (name) => boxes(name).filter((box) => box.checked).map((box) => box.value);
  const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, key) => values[key]);
  const LEAST = 2;
  let [ids, titles, rows, words] = [[], [], {}, {}];
  let order = { key: "", turned: false };

  /* ---- What is chosen, as column numbers from left to right. */
  function columns() {
    const chosen = picked("show").map((id) => ids.indexOf(id));
    const row = rows[order.key];
    if (!row) return chosen;
    const sign = (row.better === "high" ? -1 : 1) * (order.turned ? -1 : 1);
    const known = chosen.filter((number) => row.ranks[number] !== null);
    known.sort((a, b) => sign * (row.ranks[a] - row.ranks[b]));
    return [...known, ...chosen.filter((number) => row.ranks[number] === null)];
  }

  /* The best of those shown; none where all are alike or neither end is better. */
  function bestOf(row, shown) {
    const ranks = shown.map((number) => row.ranks[number]).filter((rank) => rank !== null);
    if (!row.better || new Set(ranks).size < 2) return null;
    return row.better === "low" ? Math.min(...ranks) : Math.max(...ranks);
  }

  /* ---- The tables. */
  function arrange(line, shown) {
    const cells = cellsOf.get(line);
    for (const cell of cells) cell.hidden = true;
    for (const number of shown) {
      cells[number].hidden = false;
      line.append(cells[number]);
    }
    return cells;
  }

  function tellGap(cell, text) {
    const note = cell.querySelector("small") ?? document.createElement("small");
    note.textContent = text;
    if (text) cell.append(note);
    else note.remove();
  }

  function tellBest(figure, best) {
    if (figure.classList.toggle("best", best)) {
      if (figure.childElementCount === 0) figure.prepend(mark.content.cloneNode(true));
    } else {
      figure.replaceChildren(figure.lastChild);
    }
  }

  function fill(line, shown) {
    const row = rows[line.dataset.row];
    const cells = arrange(line, shown);
    const best = bestOf(row, shown);
    for (const number of shown) {
      tellGap(cells[number], row.gaps[shown[0]][number]);
      tellBest(cells[number].querySelector("b"), best !== null && row.ranks[number] === best);
    }
  }

  function fillTables(shown) {
    for (const table of tables) {
      table.dataset.count = shown.length;
      arrange(table.tHead.rows[0], shown);
    }
    for (const line of lines) fill(line, shown);
  }

  function moveGroups() {
    const first = new Set(picked("first"));
    const upper = sections.filter((section) => first.has(section.dataset.matter));
    const wanted = [...upper, ...sections.filter((section) => !upper.includes(section))];
    if (wanted.some((section, number) => section !== place.children[number])) place.append(...wanted);
  }

  /* ---- Buttons in the row headers. */
  function nameButton(button) {
    const active = button.dataset.order === order.key;
    button.firstChild.textContent = active ? place.dataset.turn : place.dataset.order;
    button.classList.toggle("is-active", active);
  }

  function buttonOf(key, label) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "order";
    button.dataset.order = key;
    const what = document.createElement("span");
    what.className = "hidden-visually";
    what.textContent = `: ${label}`;
    button.append("", what);
    button.addEventListener("click", () => {
      order = { key, turned: order.key === key && !order.turned };
      update();
    });
    nameButton(button);
    return button;
  }

  function addButtons() {
    for (const line of place.querySelectorAll("[data-ordered]")) {
      const [head] = line.cells;
      head.abbr = head.textContent; // without the button's words
      head.append(buttonOf(line.dataset.row, head.abbr));
    }
  }

  /* ---- What is said and remembered. */
  function say(shown) {
    const row = rows[order.key];
    const end = words.ends[(row?.better ? 0 : 2) + Number(order.turned)];
    const first = boxes("first").filter((box) => box.checked).map((box) => box.nextElementSibling.textContent);
    const told = filled(row ? words.ordered : words.plain, {
      shown: shown.length, all: ids.length, row: row?.label, end,
      names: shown.map((number) => filled(words.quoted, { name: titles[number] })).join(", "),
      first: titles[shown[0]],
    });
    const top = words.top[first.length - 1];
    status.textContent = top ? `${told} ${filled(top, { groups: first.join(", ") })}` : told;
  }

  function chosen() {
    const state = new URLSearchParams();
    const show = picked("show");
    if (show.length < boxes("show").length) show.forEach((id) => state.append("show", id));
    if (order.key) state.append(order.turned ? "turned" : "order", order.key);
    picked("first").forEach((matter) => state.append("first", matter));
    return state.toString();
  }

  function draw() {
    const shown = columns();
    fillTables(shown);
    moveGroups();
    place.querySelectorAll("button.order").forEach(nameButton);
    say(shown);
  }

  async function update() {
    address.remember();
    await loaded();
    draw();
  }

  /* Ranks and differences come after the text, or with the first wish for them. Without them
     nothing can be chosen: what waits for them waits on. */
  let loading = null;
  function loaded() {
    loading ??= new Promise((resolve) => {
      const script = document.createElement("script");
      script.addEventListener("load", () => {
        ({ ids, titles, rows, words } = window.sideRows);
        resolve();
      });
      script.addEventListener("error", () => {
        form.hidden = true;
        place.querySelectorAll("button.order").forEach((button) => button.remove());
      });
      script.src = place.dataset.script;
      document.head.append(script);
    });
    return loading;
  }

  /* What makes no sense in an address is passed over. */
  function put(state) {
    for (const name of ["show", "first"]) {
      boxes(name).forEach((box) => { box.checked = state.getAll(name).includes(box.value); });
    }
    if (picked("show").length < LEAST) boxes("show").forEach((box) => { box.checked = true; });
    const key = state.get("turned") ?? state.get("order");
    const known = lines.some((line) => line.dataset.row === key && "ordered" in line.dataset);
    order = { key: known ? key : "", turned: known && state.has("turned") };
  }

  const address = window.panelworthAddress({
    form, keys: ["show", "first", "order", "turned"], put, chosen, update,
  });

  form.addEventListener("change", async (event) => {
    if (event.target.name === "show" && picked("show").length < LEAST) {
      event.target.checked = true;
      await loaded();
      status.textContent = words.least;
      return;
    }
    update();
  });
  form.querySelector("button").addEventListener("click", () => {
    boxes("show").forEach((box) => { box.checked = true; });
    boxes("first").forEach((box) => { box.checked = false; });
    order = { key: "", turned: false };
    update();
  });
  window.addEventListener("load", loaded);

  addButtons();
  if (location.hash) address.read();
})();
