// Sound, vibration, and what this phone cannot do: the alarm that is seen comes first, the others are beside it.

const AGAIN_MS = 60_000;

function makeAlarm(button) {
  const Audio = window.AudioContext ?? window.webkitAudioContext;
  let sound = null;
  let last = { what: "", at: 0 };
  const say = () => {
    if (!Audio) button.textContent = "no sound on this phone";
    else button.textContent = sound?.state === "running" ? "sound on" : "sound off: tap to arm it";
    button.classList.toggle("armed", sound?.state === "running");
  };
  function tone(times, high) {
    if (sound?.state !== "running") return;
    for (let n = 0; n < times; n++) {
      const [pipe, loud, at] = [sound.createOscillator(), sound.createGain(), sound.currentTime + n * 0.35];
      pipe.frequency.value = high ? 2100 : 880;
      pipe.type = "square";
      loud.gain.setValueAtTime(0.4, at);
      loud.gain.setValueAtTime(0, at + 0.22);
      pipe.connect(loud).connect(sound.destination);
      pipe.start(at);
      pipe.stop(at + 0.25);
    }
  }
  // A browser lets a page shake the phone only after it was touched once.
  const shake = (times) => navigator.userActivation?.hasBeenActive !== false && navigator.vibrate?.(times);
  button.addEventListener("click", async () => {
    if (!Audio) return;
    sound ??= new Audio();
    await sound.resume();
    tone(2, false);
    shake(80);
    say();
  });
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
      tone(stop ? 4 : 2, Boolean(stop));
      shake(stop ? [300, 100, 300, 100, 300] : [200]);
    },
  };
}
