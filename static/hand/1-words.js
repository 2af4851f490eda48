// The page of a running trial, with script: joined from the parts in this folder, in the order of their names.
// Without it every form of the page works by itself; with it an entry is kept on the phone before the page says so.

const $ = (id) => document.getElementById(id);
const two = (n) => String(n).padStart(2, "0");

/** Minutes and seconds as a stop-watch shows them. */
function span(ms) {
  const s = Math.max(0, Math.floor(ms / 1000));
  const [h, m] = [Math.floor(s / 3600), Math.floor(s / 60) % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

/** The hour in the workshop, as the server writes it: the phone's own zone is not asked. */
function hour(ms, zone_ms) {
  const day = new Date(ms + zone_ms);
  return `${two(day.getUTCHours())}:${two(day.getUTCMinutes())}:${two(day.getUTCSeconds())}`;
}

/** An element with its words; `of` gives attributes. */
function el(name, words = "", of = {}) {
  const made = document.createElement(name);
  made.textContent = words;
  for (const [key, value] of Object.entries(of)) made.setAttribute(key, value);
  return made;
}

/** 128 bits from the phone's own chance, as hex: `randomUUID` is missing where the page came over plain http. */
function freshKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}

/**
 * A figure as people type it, in canonical decimal: point or comma, the last zero kept; refused where it could mean two
 * things. The server reads by the same rules.
 */
function decimal(typed, mayBeNegative) {
  const text = typed.trim();
  const minus = /^[-\u2212]/.test(text);
  const digits = minus ? text.slice(1) : text;
  const other = [...digits].find((c) => !/[0-9.,]/.test(c));
  if (other) return { says: `“${text}” is not a plain figure: “${other}” cannot stand in it; use 0 to 9 and one point` };
  if (digits.replace(/[^.,]/g, "").length > 1) return { says: `“${text}” has more than one point or comma: write it with one point` };
  const [whole, part] = digits.split(/[.,]/);
  if (part === "") return { says: `“${text}” ends in a point: the figure after it is missing` };
  if (whole === "" && part === undefined) return { says: "a figure is missing" };
  const trimmed = whole.replace(/^0+/, "");
  if (digits.includes(",") && part.length === 3 && trimmed !== "") {
    return { says: `“${text}” could be ${whole}.${part} or ${whole}${part}: write it with a point, or without the comma` };
  }
  if (minus && !mayBeNegative) return { says: `“${text}” is under nothing: leave the minus out` };
  return { figure: (minus ? "-" : "") + (trimmed || "0") + (part === undefined ? "" : `.${part}`) };
}
