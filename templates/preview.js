/* Only in a preview, never in a published site: asks which build is shown, and reloads for a newer. */
(() => {
  "use strict";
  const shown = new URL(document.currentScript.src).searchParams.get("build");
  async function look() {
    try {
      const answer = await fetch("/preview/build", { cache: "no-store" });
      if ((await answer.text()) !== shown) {
        location.reload();
        return;
      }
    } catch {
      // The preview has ended or is being started again: look again.
    }
    setTimeout(look, 500);
  }
  look();
})();
