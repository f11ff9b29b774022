/* Shows a page once its fonts are there, so that no line breaks anew before the reader's eyes. They
   are asked for before there is anything to lay out; a page that waits too long is shown without.
   (A preload would do it, but browsers refuse to preload fonts for a page opened as a file.) */
(() => {
  "use strict";

  const LONGEST = 2000; // milliseconds
  const FACES = ['400 1em "Panelworth Sans"', '600 1em "Panelworth Sans"', '600 1em "Panelworth Heads"'];
  const { documentElement: root, fonts } = document;
  const show = () => root.classList.remove("is-waiting");

  root.classList.add("is-waiting");
  FACES.forEach((face) => fonts.load(face).catch(show));
  setTimeout(show, LONGEST);
  document.addEventListener("DOMContentLoaded", () => {
    root.getBoundingClientRect(); // lays out, so that fonts for rare letters are asked for too
    fonts.ready.then(show);
  });
})();
