/* Writes money as publishing/formats.py does, so that a figure a script places reads like one that
   was there before: symbol, digits, a true minus sign, half a cent to the even one. */
(() => {
  "use strict";

  const MINUS = "\u2212";
  const clear = (value) => Number(Math.abs(value).toFixed(6)); // of floating-point residue

  function writer(symbol, digits) {
    const format = new Intl.NumberFormat("en", {
      minimumFractionDigits: digits, maximumFractionDigits: digits, roundingMode: "halfEven",
    });
    const nothing = symbol + format.format(0);
    return (value) => {
      const text = symbol + format.format(clear(value));
      return value < 0 && text !== nothing ? MINUS + text : text;
    };
  }

  const signed = (write) => (value) => {
    const text = write(value);
    return text.startsWith(MINUS) || text === write(0) ? text : `+${text}`;
  };

  window.panelworthFormats = (symbol) => {
    const [money, cents] = [writer(symbol, 0), writer(symbol, 2)];
    return { money, cents, change: signed(money), changeCents: signed(cents), minus: MINUS, none: "\u2014" };
  };
})();
