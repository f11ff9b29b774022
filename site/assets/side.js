/* Orders, hides and marks the columns of the page "Side by side", and moves groups to the top.
   It works nothing out: ranks and differences were written when the site was built. What is chosen
   lives in the address; nothing is stored or asked. */
(() => {
  "use strict";

  const block = document.getElementById("side-data");
  const form = document.getElementById("side");
  if (!block || !form) return;
  const { ids, titles, rows } = JSON.parse(block.textContent);
  const status = document.getElementById("side-status");
  const place = document.getElementById("side-groups");
  const sections = [...place.children];
  const boxes = (name) => [...form.querySelectorAll(`input[name="${name}"]`)];
  const picked = (name) => boxes(name).filter((box) => box.checked).map((box) => box.value);
  const quoted = (number) => `\u201c${titles[number]}\u201d`;
  const LEAST = 2;
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
    const cells = new Map([...line.querySelectorAll("[data-option]")].map((cell) => [cell.dataset.option, cell]));
    for (const cell of cells.values()) cell.hidden = true;
    for (const number of shown) {
      const cell = cells.get(ids[number]);
      cell.hidden = false;
      line.append(cell);
    }
    return cells;
  }

  function fill(line, shown) {
    const row = rows[line.dataset.row];
    const cells = arrange(line, shown);
    const best = bestOf(row, shown);
    for (const number of shown) {
      const cell = cells.get(ids[number]);
      cell.querySelector(".gap").textContent = row.gaps[shown[0]][number];
      const mark = cell.querySelector(".best");
      if (mark) mark.hidden = best === null || row.ranks[number] !== best;
    }
  }

  function fillTables(shown) {
    for (const table of place.querySelectorAll("table")) {
      table.dataset.count = shown.length;
      arrange(table.tHead.rows[0], shown);
      for (const line of table.tBodies[0].rows) fill(line, shown);
    }
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
    const row = rows[button.dataset.order];
    button.textContent = active ? "turn the order" : "order by this";
    button.classList.toggle("is-active", active);
    const what = document.createElement("span");
    what.className = "hidden-visually";
    what.textContent = `: ${row.label}`;
    button.append(what);
  }

  function addButtons() {
    for (const line of place.querySelectorAll("[data-row]")) {
      const key = line.dataset.row;
      if (new Set(rows[key].ranks.filter((rank) => rank !== null)).size < 2) continue;
      const button = document.createElement("button");
      button.type = "button";
      button.className = "order";
      button.dataset.order = key;
      button.addEventListener("click", () => {
        order = { key, turned: order.key === key && !order.turned };
        update();
      });
      line.cells[0].append(button);
    }
  }

  /* ---- What is said and remembered. */
  function orderWords() {
    const row = rows[order.key];
    if (!row) return "in the order of the page";
    const ends = row.better ? ["best first", "best last"] : ["lowest first", "highest first"];
    return `ordered by \u201c${row.label}\u201d, ${ends[Number(order.turned)]}`;
  }

  function say(shown) {
    const first = boxes("first").filter((box) => box.checked).map((box) => box.nextElementSibling.textContent);
    const names = order.key ? `: ${shown.map(quoted).join(", ")}` : "";
    const top = first.length ? ` First comes: ${first.join(", ")}.` : "";
    status.textContent = `${shown.length} of ${ids.length} options, ${orderWords()}${names}. `
      + `Differences are to ${quoted(shown[0])}.${top}`;
  }

  function remember() {
    const state = new URLSearchParams();
    const show = picked("show");
    if (show.length < ids.length) show.forEach((id) => state.append("show", id));
    if (order.key) state.append(order.turned ? "turned" : "order", order.key);
    picked("first").forEach((matter) => state.append("first", matter));
    const text = state.toString();
    history.replaceState(null, "", text ? `#${text}` : location.pathname);
  }

  function draw() {
    const shown = columns();
    fillTables(shown);
    moveGroups();
    place.querySelectorAll("button.order").forEach(nameButton);
    say(shown);
  }

  function update() {
    draw();
    remember();
  }

  /* What the address does not name in a way that makes sense is passed over. */
  function readAddress() {
    const state = new URLSearchParams(location.hash.slice(1));
    const show = state.getAll("show").filter((id) => ids.includes(id));
    if (!["show", "order", "turned", "first"].some((key) => state.has(key))) return false;
    const all = new Set(show).size < LEAST;
    boxes("show").forEach((box) => { box.checked = all || show.includes(box.value); });
    boxes("first").forEach((box) => { box.checked = state.getAll("first").includes(box.value); });
    const key = state.get("turned") ?? state.get("order") ?? "";
    order = { key: Object.hasOwn(rows, key) ? key : "", turned: state.has("turned") };
    draw();
    return true;
  }

  form.addEventListener("change", (event) => {
    if (event.target.name === "show" && picked("show").length < LEAST) {
      event.target.checked = true;
      status.textContent = "Two options at least are compared.";
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
  window.addEventListener("hashchange", () => {
    if (!readAddress()) remember(); // a jump within the page, which leaves what is chosen as it is
  });

  addButtons();
  form.hidden = false;
  if (!readAddress()) draw();
})();
