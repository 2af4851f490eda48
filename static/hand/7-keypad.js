// Keys of our own, large enough for a wet thumb: they type into the box that was tapped last.

function makeKeypad(form) {
  const pad = form.querySelector(".keypad");
  const boxes = [...form.querySelectorAll(".open-boxes input")];
  const save = form.querySelector(".save");
  let at = boxes[0];
  const touch = matchMedia("(pointer: coarse)").matches;

  function choose(box) {
    at = box;
    for (const one of boxes) one.closest(".typed").classList.toggle("chosen", one === box);
    paint();
  }
  function paint() {
    const typed = boxes.filter((b) => b.value.trim()).map((b) => `${b.value} ${b.dataset.unit}`);
    save.textContent = typed.length ? `Save ${typed.join(", ")}` : "Save";
  }
  for (const box of boxes) {
    // The phone's own keyboard would cover the keys.
    if (touch) box.inputMode = "none";
    box.addEventListener("focus", () => choose(box));
    box.addEventListener("input", paint);
  }
  for (const sign of ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "rub out"]) {
    const key = el("button", sign, { type: "button", class: "key" });
    key.addEventListener("click", () => {
      at.value = sign === "rub out" ? at.value.slice(0, -1) : at.value + sign;
      paint();
    });
    pad.append(key);
  }
  pad.hidden = false;
  choose(at);
  return { paint };
}
