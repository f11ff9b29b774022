/* Writes money as publishing/formats.py does, so that a figure a script places reads like one that
   was there before: the locale's marks and place of the symbol, a true minus sign, half a cent to
   the even one. */
(() => {
  "use strict";

  const MINUS = "\u2212";
  const clear = (value) => Number(Math.abs(value).toFixed(6)); // of floating-point residue

  function writer({ before, after, group, decimal }, digits) {
    const format = new Intl.NumberFormat("en", {
      minimumFractionDigits: digits, maximumFractionDigits: digits, roundingMode: "halfEven",
    });
    const marked = (value) => format.format(value).replace(/[,.]/g, (mark) => (mark === "," ? group : decimal));
    const whole = (value) => before + marked(value) + after;
    const nothing = whole(0);
    return (value) => {
      const text = whole(clear(value));
      return value < 0 && text !== nothing ? MINUS + text : text;
    };
  }

  const signed = (write) => (value) => {
    const text = write(value);
    return text.startsWith(MINUS) || text === write(0) ? text : `+${text}`;
  };

  window.panelworthFormats = (writing) => {
    const [money, cents] = [writer(writing, 0), writer(writing, 2)];
    const fixed = (value, digits) => value.toFixed(digits).replace("-", MINUS).replace(".", writing.decimal);
    return { money, cents, fixed, change: signed(money), changeCents: signed(cents), none: "\u2014" };
  };
})();
