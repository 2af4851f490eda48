// The server's clock, as this phone reckons it from when it was last told: countdowns and the times of entries come from
// here. The phone's own clock may be wrong, may be set meanwhile, and its steady clock may stand still while it sleeps.

const DISAGREE_MS = 2000;

/** A reckoner of the server's clock over the phone's two clocks, which are handed in so that they can be tried out. */
function reckonClock(wall, mono) {
  const last = { server: 0, wall: 0, mono: 0, u: Infinity };
  let slept = false;
  let jumped = false;
  const gone = () => {
    const [w, m] = [wall() - last.wall, mono() - last.mono];
    if (Math.abs(w - m) <= DISAGREE_MS) return m;
    // While it slept the steady clock may have stood still; a clock that was set while it was awake is not followed.
    if (slept && w > m) return w;
    jumped = true;
    return m;
  };
  return {
    /** The server said what its clock showed, between two moments of the steady clock. */
    told(server, from, to) {
      const half = Math.max(0, (to - from) / 2);
      const before = last.server ? last.server + gone() - (mono() - to) : null;
      const now = server + half;
      // A clock set while the phone slept shows itself when the server is heard again.
      if (before !== null && Math.abs(before - now) > DISAGREE_MS + half) jumped = true;
      const stale = mono() - last.mono > 60_000 || slept;
      if (half <= last.u || stale || (before !== null && Math.abs(before - now) > half + last.u)) {
        Object.assign(last, { server: now, mono: to, wall: wall() - (mono() - to), u: half });
      }
      slept = false;
    },
    /** The page was out of sight: the steady clock is not to be believed until the server is heard again. */
    slept() {
      slept = true;
    },
    /** The server's clock now, unix ms, and how sure that is. */
    now() {
      return { at: Math.round(last.server + gone()), u: Math.min(600_000, Math.round(last.u + (slept ? 1000 : 0))) };
    },
    /** Was the phone's own clock set since the page was opened? */
    jumped: () => {
      gone();
      return jumped;
    },
    offset: () => Math.round(last.server - last.wall),
  };
}
