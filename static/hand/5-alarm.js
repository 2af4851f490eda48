// Sound, vibration, and what this phone cannot do: the alarm that is seen comes first, the others are beside it.

const AGAIN_MS = 60_000;
/** How loud: a look that is due, what stands, and a look that is late by half its time again or a stop. */
const [SOFT, PLAIN, LOUD] = [0.15, 0.4, 1];

/** How a look is called for at a moment: 0 not at all, 1 it is due, 2 it is late by half its time again. */
const callFor = (due_ms, louder_ms, now_ms) => (now_ms < due_ms ? 0 : now_ms < louder_ms ? 1 : 2);

/** `button` arms the sound and says how it stands; `bar` asks for that at the head of the page until it is done. */
function makeAlarm(button, bar) {
  const Audio = window.AudioContext ?? window.webkitAudioContext;
  let sound = null;
  let last = { what: "", at: 0 };
  let called = { due: 0, level: 0, at: 0 };
  let without = false;
  const say = () => {
    if (!Audio) button.textContent = "no sound on this phone";
    else button.textContent = sound?.state === "running" ? "sound on" : "sound off: tap to arm it";
    button.classList.toggle("armed", sound?.state === "running");
    bar.hidden = !Audio || sound?.state === "running";
  };
  function tone(times, high, how) {
    if (sound?.state !== "running") return;
    for (let n = 0; n < times; n++) {
      const [pipe, loud, at] = [sound.createOscillator(), sound.createGain(), sound.currentTime + n * 0.35];
      pipe.frequency.value = high ? 2100 : 880;
      pipe.type = "square";
      loud.gain.setValueAtTime(how, at);
      loud.gain.setValueAtTime(0, at + 0.22);
      pipe.connect(loud).connect(sound.destination);
      pipe.start(at);
      pipe.stop(at + 0.25);
    }
  }
  // A browser lets a page shake the phone only after it was touched once.
  const shake = (times) => navigator.userActivation?.hasBeenActive !== false && navigator.vibrate?.(times);
  async function arm() {
    if (!Audio) return;
    sound ??= new Audio();
    await sound.resume();
    tone(2, false, PLAIN);
    shake(80);
    say();
  }
  button.addEventListener("click", arm);
  bar.addEventListener("click", arm);
  say();
  return {
    /** What this phone cannot do, in words: nothing is counted on that is not there. */
    missing() {
      const all = [];
      if (!Audio) all.push("no sound");
      if (!navigator.vibrate) all.push("no vibration");
      if (!("wakeLock" in navigator)) all.push("the screen may go dark");
      return all;
    },
    armed: () => sound?.state === "running",
    /** A phone that was locked may have put its sound to sleep. */
    async wakes() {
      if (sound && sound.state !== "running") await sound.resume().catch(() => {});
      say();
    },
    /** Calls for a look at the water: softly when it is due, louder when it is late, and so each minute until somebody looked. */
    calls(due_ms, louder_ms, now_ms, stop) {
      const level = due_ms ? callFor(due_ms, louder_ms, now_ms) : 0;
      const again = level === 2 && now_ms - called.at >= AGAIN_MS;
      if (due_ms === called.due && level <= called.level && !again) return;
      called = { due: due_ms, level, at: now_ms };
      // A stop sounds every 3 s, and as loud.
      if (level === 0 || stop) return;
      tone(level === 2 ? 6 : 1, level === 2, level === 2 ? LOUD : SOFT);
      shake(level === 2 ? [500, 150, 500] : [120]);
    },
    /** The link is gone: said once, for the phone goes on judging and nobody can mend a dead spot by hearing of it each minute. */
    alone(is) {
      if (is && !without) {
        tone(3, false, PLAIN);
        shake([200, 100, 200]);
      }
      without = is;
    },
    /** Sounds for what stands and nobody has seen: a stop every 3 s, a caution when it is new and each minute after. */
    sounds(stop, caution) {
      const now = Date.now();
      const what = stop || caution;
      const every = stop ? 3000 : AGAIN_MS;
      say();
      if (!what || (what === last.what && now - last.at < every)) {
        if (!what) last = { what: "", at: 0 };
        return;
      }
      last = { what, at: now };
      tone(stop ? 4 : 2, Boolean(stop), stop ? LOUD : PLAIN);
      shake(stop ? [300, 100, 300, 100, 300] : [200]);
    },
  };
}
