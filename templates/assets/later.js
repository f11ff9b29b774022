/* Loads what a page needs only once it can be read: that which moves its figures. Without it the
   page is complete, and stays as it is. */
(() => {
  "use strict";

  /* A page opened as a file may load scripts, and nothing else. */
  function loaded(src) {
    return new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.addEventListener("load", resolve);
      script.addEventListener("error", reject);
      script.src = src;
      document.head.append(script);
    });
  }

  async function loadLater() {
    for (const part of document.querySelectorAll("[data-later]")) {
      for (const src of part.dataset.later.split(" ")) await loaded(src);
    }
  }

  window.addEventListener("load", () => loadLater().catch(() => {}));
})();
