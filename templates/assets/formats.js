/* Writes money and texts as publishing/formats.py does, so that what a script places reads like
   what was there before: the locale's marks and place of the symbol, a true minus sign, half a cent
   to the even one. Scripts have no words of their own: their texts stand in the page's data. */
(() => {
  "use strict";

  const MINUS = "\u2212";
  const clear = (value) => Number(Math.abs(value).toFixed(6)); // of floating-point residue

  function writer({ before, after, group, decimal }, least, most = least) {
    const format = new Intl.NumberFormat("en", {
      minimumFractionDigits: least, maximumFractionDigits: most, roundingMode: "halfEven",
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

  /* Reads a number that a reader types, with a point or a comma before decimals, as { value }, or tells
     why it cannot as { wrong }. A page that writes 1,000 for a thousand cannot know which of two is meant. */
  const reader = ({ group, decimal }) => (text) => {
    const parts = text.trim().match(/^([-+\u2212]?)(\d*)(?:(\D)(\d*))?$/);
    const [, sign, whole, mark, part = ""] = parts ?? [];
    if (!parts || !(whole + part) || (mark && ![".", ",", decimal].includes(mark))) return { wrong: "number" };
    if (mark === group && part.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) return { wrong: "unclear" };
    const size = clear(`${whole}.${part}0`);
    return { value: size && /[-\u2212]/.test(sign) ? -size : size };
  };

  window.panelworthFormats = (writing) => {
    const [money, cents] = [writer(writing, 0), writer(writing, 2)];
    const number = writer({ ...writing, before: "", after: "" }, 0, 6);
    const fixed = (value, digits) => value.toFixed(digits).replace("-", MINUS).replace(".", writing.decimal);
    const plain = (value) => String(clear(value)).replace(".", writing.decimal);
    const read = reader(writing);
    const [change, changeCents] = [signed(money), signed(cents)];
    return { money, cents, number, fixed, plain, read, change, changeCents, none: "\u2014" };
  };

  window.panelworthRounding = {
    /* Rounds to a step, halves away from 0, as words/rounding.py does. */
    toStep: (amount, step) => Math.sign(amount) * Math.floor(Math.abs(amount) / step + 0.5 + 1e-9) * step,
  };

  const rules = new Intl.PluralRules(document.documentElement.lang);
  const lists = new Intl.ListFormat(document.documentElement.lang);

  window.panelworthTexts = {
    /* A text with values in its braces. */
    filled: (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]),
    /* Words joined as a sentence does: "a, b, and c". */
    listed: (words) => lists.format(words),
    /* The form that goes with a count. */
    counted: (forms, count) => {
      const many = count > 1 ? Math.max(2, Math.round(count)) : 0;
      return forms[rules.select(count === 1 ? 1 : many)] ?? forms.other;
    },
  };
})();
