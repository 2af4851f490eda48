// What only the workshop's PC can do is not sent into a dead spot: the browser would put its own page in place of this one,
// which cannot be opened again without a link.

const LEAVE_MS = 3000;

function notLeft(pressed) {
  const beside = pressed.isConnected ? pressed : $("link");
  beside.parentElement.querySelector(".not-left")?.remove();
  beside.after(el("p", "No link to the workshop's PC: nothing was sent, and this page stays. Press again when the link is there.", { class: "says not-left", role: "alert" }));
}

/** In touch, and no entry of this phone on its way any more: then nobody is asked whether to leave. */
async function mayLeave() {
  if (!(await touch(LEAVE_MS))) return false;
  const until = performance.now() + LEAVE_MS;
  while (entriesWait() && performance.now() < until) await new Promise((go) => setTimeout(go, 25));
  return true;
}

/** The form as it was pressed: before the PC has answered, its part of the page can be another one. */
function asPressed(form, by) {
  const copy = el("form", "", { method: "post", action: form.getAttribute("action"), enctype: form.enctype, hidden: "" });
  for (const [name, value] of new FormData(form, by)) copy.append(el("input", "", { type: "hidden", name, value }));
  return copy;
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post") return;
  event.preventDefault();
  const by = event.submitter;
  const pressed = asPressed(form, by);
  if (!(await mayLeave())) return notLeft(by ?? form);
  document.body.append(pressed);
  pressed.submit();
});

document.addEventListener("click", async (event) => {
  const link = event.target.closest('a[href^="/"]');
  if (!link || event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  if (await mayLeave()) location.assign(link.href);
  else notLeft(link);
});
