// A list that is read and done goes on in a dead spot too: the item that was done in pencil, the next one in its place.

/** Does the item want something that is not there: what was read, or the reason for skipping it? */
function isWanting(form, data) {
  const box = data.get("way") === "skip" ? form.elements.reason : form.querySelector("input[type=text][name=saw]");
  if (!box) return false;
  const read = box.name === "saw" ? decimal(box.value.trim(), false).says : box.value.trim() ? null : "give the reason: it stands on the record";
  form.querySelector(".says")?.remove();
  if (!read) return false;
  box.closest(".typed").append(el("p", read, { class: "says", role: "alert" }));
  box.focus();
  return true;
}

/** Puts the item that was done above, and the next one in its place. */
function stepOn(form, saw) {
  const list = form.closest("details[data-live]");
  const now = list.querySelector(".now-item");
  const row = el("li", "", { class: "pencil-mark" });
  row.append(el("strong", form.elements.n.value), el("span", now.querySelector("h2").textContent), el("em", "on this phone"), el("span", saw, { class: "seen-was" }));
  list.querySelector(".done-list").append(row);
  const next = list.querySelector(".next-list li");
  if (!next) {
    now.replaceChildren(el("p", "Every item is done or skipped. The list is kept as done once the workshop's PC has them."));
    return;
  }
  next.remove();
  const n = next.querySelector("strong").textContent;
  const answers = next.dataset.answers.split("|").filter(Boolean);
  const [done, skip] = now.querySelectorAll("form");
  const must = next.querySelector(".must-see svg");
  now.querySelector(".must-see").replaceChildren(...(must ? [must] : []), must ? ` ${n} · must-see item: say what you saw` : `${n} · read, then do`);
  now.querySelector("h2").textContent = next.querySelector("span").textContent;
  now.querySelector(".sees").textContent = next.dataset.sees;
  for (const one of [done, skip]) one.elements.n.value = n;
  // Each item has boxes of its own, so that what is typed for one never stands beside another.
  const of = `${skip.elements.list.value}-${n}`;
  skip.closest("details").id = `skip-${of}`;
  skip.elements.reason.id = skip.querySelector("label").htmlFor = `reason-${of}`;
  skip.querySelector("button").textContent = `Skip ${n}`;
  skip.closest("details").open = false;
  skip.closest("details").querySelector("summary").textContent = `Skip ${n}, with a reason`;
  skip.reset();
  for (const old of done.querySelectorAll("button, .typed")) old.remove();
  if (next.dataset.unit) {
    const typed = el("div", "", { class: "typed" });
    typed.append(el("label", "It reads", { for: `saw-${of}` }), el("input", "", { id: `saw-${of}`, name: "saw", type: "text", inputmode: "decimal", autocomplete: "off", maxlength: "12" }), el("span", next.dataset.unit));
    done.append(typed);
  }
  for (const answer of answers) done.append(el("button", answer, { class: "key left", name: "saw", value: answer }));
  if (answers.length === 0) done.append(el("button", `${n} is done`, { class: "key left" }));
}
