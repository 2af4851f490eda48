// What only the workshop's PC can do is not sent into a dead spot: the browser would put its own page in place of this one,
// which cannot be opened again without a link.

const LEAVE_MS = 3000;

function notLeft(beside) {
  beside.parentElement.querySelector(".not-left")?.remove();
  beside.after(el("p", "No link to the workshop's PC: nothing was sent, and this page stays. Press again when the link is there.", { class: "says not-left", role: "alert" }));
}

document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (event.defaultPrevented || form.method !== "post") return;
  if (form.dataset.leaves) {
    delete form.dataset.leaves;
    return;
  }
  event.preventDefault();
  const by = event.submitter;
  if (!(await touch(LEAVE_MS))) return notLeft(by ?? form);
  form.dataset.leaves = "yes";
  form.requestSubmit(by);
});

document.addEventListener("click", async (event) => {
  const link = event.target.closest('a[href^="/"]');
  if (!link || event.defaultPrevented || event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  if (await touch(LEAVE_MS)) location.assign(link.href);
  else notLeft(link);
});
