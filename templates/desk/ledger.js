/* Comfort for the ledger, which works without it: the items to choose from follow the option. */
(() => {
  "use strict";
  const follow = (option) => {
    const row = option.closest(".row");
    const item = row?.querySelector(".cell-item input");
    const own = document.getElementById(`items-${option.value}`);
    item?.setAttribute("list", own ? own.id : "items");
  };
  document.addEventListener("input", (event) => {
    if (event.target.closest(".cell-option")) follow(event.target);
  });
  const first = document.querySelector("[aria-invalid='true']");
  first?.focus();
})();
