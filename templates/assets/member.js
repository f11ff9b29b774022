/* Which kind of member figures are for. The choice stands in the address and goes along to every
   page; nothing is stored, and nothing is sent. */
(() => {
  "use strict";

  const KEY = "member";
  const choice = document.getElementById("member");
  const shown = document.querySelectorAll("[data-pays]");
  const most = Number(document.currentScript.dataset.kinds);
  const asked = Number(new URLSearchParams(location.search).get(KEY));
  let kind = Number.isInteger(asked) && asked > 0 && asked < most ? asked : 0;

  function fill() {
    for (const element of shown) {
      const texts = JSON.parse(element.dataset.pays);
      element.textContent = texts[Math.min(kind, texts.length - 1)];
    }
  }

  /* Links within the site take the choice along. */
  function carry() {
    for (const link of document.querySelectorAll('a[href]')) {
      const [, page, anchor] = /^([^?#:]*\.html)(?:\?[^#]*)?(#.*)?$/.exec(link.getAttribute("href")) ?? [];
      if (page) link.setAttribute("href", `${page}${kind ? `?${KEY}=${kind}` : ""}${anchor ?? ""}`);
    }
  }

  function choose() {
    kind = Number(choice.value);
    const address = `${location.pathname}${kind ? `?${KEY}=${kind}` : ""}${location.hash}`;
    history.replaceState(null, "", address);
    fill();
    carry();
  }

  if (choice) {
    choice.value = String(kind);
    choice.disabled = false;
    choice.addEventListener("change", choose);
  }
  fill();
  carry();
})();
