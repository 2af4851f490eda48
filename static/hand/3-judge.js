// What the phone judges by itself where there is no link: marks, limits, lateness, and a plain falling-water line. It may
// cry sooner than the server, never later. What it does not judge: bad air over time, glasses that disagree, the feed, the
// valve; the page says so.

const SURGE_MM = 1;
/** Readings closer together than this draw no line unless the fall is plain, s. */
const SHORT_S = 30;
const PLAIN_STEPS = 4;

/** Median of the last gaps between looks at the water, within 15 s and the pace. */
function usualGap(waters, every_s) {
  const gaps = waters.slice(1).map((w, n) => (w.at_ms - waters[n].at_ms) / 1000).slice(-5).sort((a, b) => a - b);
  const middle = gaps.length >> 1;
  const median = gaps.length === 0 ? every_s : gaps.length % 2 ? gaps[middle] : (gaps[middle - 1] + gaps[middle]) / 2;
  return Math.min(Math.max(median, 15), Math.max(every_s, 15));
}

/**
 * Time to the low mark at a moment, s; null where nothing falls. The steeper of the lines through the last two and the
 * last three readings, and of the line that the server last reckoned with, from the last reading taken low. A feed counts
 * only by what the readings after it show: till then the water goes on falling as it fell.
 */
function plainRunway(known, waters, at_ms) {
  const numbers = waters.filter((w) => w.mm !== null);
  const last = numbers.at(-1);
  if (!last || last !== waters.filter((w) => w.seen !== "in-glass").at(-1)) return null;
  const low = known.low_mm ?? 0;
  const taken = last.mm - known.step_mm / 2 - (known.steaming ? SURGE_MM : 0);
  const falls = [];
  for (const back of [2, 3]) {
    const first = numbers.at(-back);
    if (!first) continue;
    const seconds = (last.at_ms - first.at_ms) / 1000;
    const fall = first.mm - last.mm;
    const plain = seconds >= SHORT_S || fall >= PLAIN_STEPS * known.step_mm + SURGE_MM;
    if (seconds > 0 && fall > 0 && plain) falls.push((fall + known.step_mm / 2) / seconds);
  }
  // The server's line goes on, less the time gone, until the readings here say more.
  if (known.runway_s !== null && known.level_low_mm !== null && known.runway_s > 0) {
    falls.push(Math.max(0, known.level_low_mm - low) / known.runway_s);
  }
  const steep = Math.max(0, ...falls);
  if (steep === 0) return null;
  const gone = Math.max(0, at_ms - last.at_ms) / 1000;
  const from = known.level_low_mm !== null && last.at_ms <= known.now_ms ? Math.min(taken, known.level_low_mm) : taken;
  const since = last.at_ms <= known.now_ms ? Math.max(0, at_ms - known.now_ms) / 1000 : gone;
  return (from - low) / steep - since;
}

/**
 * Stops and cautions that the phone finds at a moment, the gravest first, and when the water is to be looked at next.
 * `known` is what the server handed over, `own` what was entered here since.
 */
function judge(known, own, at_ms) {
  const waters = [...known.waters];
  let [hot, hot_ms, steaming] = [known.hot, known.hot_ms, known.steaming];
  const found = [];
  const cry = (rule, severity, says) => found.push({ rule, severity, says });
  let pressure = null;
  let co = null;
  for (const entry of own) {
    const { reading, event, at_ms: when } = entry;
    if (reading) {
      if (reading.level_seen === "below" || reading.level_second_seen === "below") waters.push({ at_ms: when, mm: null, seen: "below" });
      else if (reading.level_mm !== undefined || reading.level_second_mm !== undefined) {
        waters.push({ at_ms: when, mm: Math.min(reading.level_mm ?? Infinity, reading.level_second_mm ?? Infinity), seen: null });
      } else if (reading.level_seen) waters.push({ at_ms: when, mm: null, seen: reading.level_seen });
      for (const bar of [reading.pressure_bar, reading.pressure_second_bar]) {
        if (bar === undefined) continue;
        if (bar > 0.2 && !hot && known.has_fire) [hot, hot_ms] = [true, when];
        pressure = { bar: Math.max(bar, pressure?.when === when ? pressure.bar : 0), when };
      }
      if (reading.co_ppm !== undefined) co = reading.co_ppm;
    }
    if (event === "fire-lit") [hot, hot_ms] = [true, hot ? hot_ms : when];
    if (["stop-valve-open", "engine-running"].includes(event)) steaming = true;
    if (event === "pressure-released") hot = false;
  }
  const seeing = { ...known, steaming };
  const last = waters.at(-1);
  const sight = waters.filter((w) => w.seen !== "in-glass").at(-1);
  if (co !== null && co >= known.co_stop_ppm) cry("carbon-monoxide", "stop", `${co} ppm of carbon monoxide.`);
  let [next, louder] = [null, null];
  if (hot && known.has_fire) {
    if (sight?.seen === "below") cry("water-out-of-sight", "stop", "No water seen in the glass, and it is hot.");
    if (sight?.mm !== null && sight?.mm !== undefined && known.low_mm !== null && sight.mm <= known.low_mm) {
      cry("water-below-mark", "stop", `${sight.mm} mm: the low mark is ${known.low_mm} mm.`);
    }
    const gap = usualGap(waters, known.every_s);
    const runway = plainRunway(seeing, waters, at_ms);
    if (runway !== null && sight?.mm > (known.low_mm ?? 0)) {
      const [stop, caution] = [Math.max(known.stop_s, 1.2 * gap), Math.max(known.caution_s, 2.5 * gap)];
      const says = `Water may reach the low mark in ${span(Math.max(0, runway) * 1000)} min.`;
      if (runway < caution) cry("water-falling", runway < stop ? "stop" : "caution", says);
    }
    if (known.stop_bar !== null && pressure && pressure.bar > known.stop_bar) {
      cry("pressure-high", "stop", `${pressure.bar} bar is over ${known.stop_bar.toFixed(2)} bar.`);
    }
    const since = Math.max(last?.at_ms ?? 0, hot_ms ?? 0);
    if (since > 0) {
      const late = (at_ms - since) / 1000;
      if (late >= known.every_s) {
        cry("reading-overdue", late >= 2 * known.every_s ? "stop" : "caution", `Nobody has looked at the water for ${span(late * 1000)}.`);
      }
      const pace_ms = 1000 * Math.min(known.every_s, runway === null ? known.every_s : Math.max(30, runway / 3));
      next = since + pace_ms;
      louder = next + pace_ms / 2;
    }
  }
  const rank = (f) => (f.severity === "stop" ? 0 : 10) + ["water-out-of-sight", "water-below-mark", "carbon-monoxide", "water-falling", "pressure-high", "reading-overdue"].indexOf(f.rule);
  // With the water out of sight nothing else about the water is said.
  const said = sight?.seen === "below" && hot ? found.filter((f) => !/^(water-falling|water-below-mark|reading-overdue)$/.test(f.rule)) : found;
  return { found: said.sort((a, b) => rank(a) - rank(b)), next, louder, hot };
}
