/* What a reader chooses on a page stands in its address: it can be sent on, and it comes back with
   a reload, with Back, and with a page that the browser kept. Each page says how its controls are
   set and what they say; when to do so is the same for all. */
(() => {
  "use strict";

  /* WebKit lets a page write its address 100 times in 30 seconds, and then fails. So there is one
     writing for each pause, in milliseconds, and as many as can be saved up. */
  const [PAUSE, SAVED] = [350, 10];

  /* form: that of the controls. keys: what an address may name. put(state): set the controls by an
     address, and what it does not name as it was at first. chosen(): what the controls say, as an
     address; "" as at first. update(): show what the controls say. */
  window.panelworthAddress = ({ form, keys, put, chosen, update }) => {
    let spare = SAVED;
    let counted = 0;
    let waiting = null;

    function forget() {
      clearTimeout(waiting);
      waiting = null;
    }

    function write() {
      forget();
      const text = chosen();
      const address = text ? `#${text}` : location.pathname + location.search;
      if (text || location.hash.includes("=")) history.replaceState(null, "", address);
    }

    /* Writes at once; after many moves in a row, a little later. */
    function remember() {
      if (waiting !== null) return;
      const now = performance.now();
      spare = Math.min(SAVED, spare + (now - counted) / PAUSE) - 1;
      counted = now;
      if (spare >= 0) write();
      else waiting = setTimeout(write, -spare * PAUSE);
    }

    /* Follows the address. A jump within the page chooses nothing. */
    function read() {
      const state = new URLSearchParams(location.hash.slice(1));
      if (location.hash && !keys.some((key) => state.has(key))) return false;
      forget();
      put(state);
      update();
      return true;
    }

    /* With autocomplete="off" no browser fills in the controls as a page loads: that is the address's
       part. But where WebKit kept a page, it sets such controls back to their first values. */
    form.removeAttribute("autocomplete");

    window.addEventListener("hashchange", () => {
      if (!read()) remember();
    });
    window.addEventListener("pagehide", () => {
      if (waiting !== null) write();
    });
    return { read, remember };
  };
})();
