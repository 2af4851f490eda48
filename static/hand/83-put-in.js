// What the server shows anew is put in place of what stood there, and nothing is taken out of a hand by that: what is open
// stays open, what is typed stays typed, what has the focus keeps it.

const LONGEST_PRESS_MS = 1500;

/**
 * Answers whether a key is being pressed: one that went away between touch and release would not be pressed. A hand that
 * rests on the page, or a press whose end is never seen, holds nothing back any longer than that. `then` is called after it.
 */
function watchPresses(then) {
  let since = -Infinity;
  let timer = 0;
  const begin = () => {
    since = performance.now();
    clearTimeout(timer);
    timer = setTimeout(end, LONGEST_PRESS_MS);
  };
  // The press itself is done first.
  const end = () => setTimeout(() => {
    since = -Infinity;
    then();
  }, 0);
  addEventListener("pointerdown", (event) => event.button === 0 && begin(), true);
  addEventListener("keydown", (event) => event.key === " " && !event.repeat && begin(), true);
  for (const over of ["pointerup", "pointercancel", "keyup"]) addEventListener(over, end, true);
  return () => performance.now() - since < LONGEST_PRESS_MS;
}

/**
 * Which answers may be put on the page: they can come in another order than they were asked for, and an older one never goes
 * over a newer; nor does any under a press, where the page is asked for `again` once that is over.
 */
function keepInOrder(again) {
  let [askedFor, onScreen, heldBack] = [0, 0, false];
  const pressing = watchPresses(() => heldBack && again());
  return {
    pressing,
    /** The number of the answer that is asked for now. */
    ask: () => ++askedFor,
    /** The number that the next one will have. */
    next: () => askedFor + 1,
    mayPut(n) {
      if (n < onScreen) return false;
      heldBack = pressing();
      if (!heldBack) onScreen = n;
      return !heldBack;
    },
  };
}

const typedIn = (box) => /^(INPUT|TEXTAREA|SELECT)$/.test(box.tagName);

/** Keys of one kind that say the same, in the order of the page. */
const alike = (within, key) => [...within.querySelectorAll(key.tagName)].filter((k) => k.textContent === key.textContent);

/** Puts the part as it is by now in the place of the old one. */
function putIn(part, newer) {
  if (part.open !== undefined) newer.open = part.open;
  for (const fold of part.querySelectorAll("details[id]")) {
    const again = newer.querySelector(`#${CSS.escape(fold.id)}`);
    if (again) again.open = fold.open;
  }
  for (const box of part.querySelectorAll("[id]")) {
    const again = typedIn(box) && newer.querySelector(`#${CSS.escape(box.id)}`);
    if (again && box.value !== box.defaultValue) again.value = box.value;
  }
  const at = part.contains(document.activeElement) ? document.activeElement : null;
  const nth = at && at !== part && !at.id ? alike(part, at).indexOf(at) : 0;
  const chosen = at && typeof at.selectionStart === "number" ? [at.selectionStart, at.selectionEnd] : null;
  part.replaceWith(document.adoptNode(newer));
  if (!at) return;
  const again = at === part ? newer : at.id ? newer.querySelector(`#${CSS.escape(at.id)}`) : alike(newer, at)[nth];
  again?.focus({ preventScroll: true });
  if (again && chosen) again.setSelectionRange(...chosen);
}
