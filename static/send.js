// On the other pages of a workshop: what still lies on this phone is sent from here too, and a line says what is left.

const all = await openStore();
const shared = new Map((await all.all()).map((item) => [item.trial, item]));
for (const trial of shared.keys()) {
  const line = el("p", "", { class: "link-line", role: "status" });
  document.getElementById("sheet")?.prepend(line);
  const box = makeOutbox(all, trial, async () => {
    const left = await box.mine();
    line.hidden = left.length === 0;
    line.textContent = left.length === 0 ? "" : `${left.length} ${left.length === 1 ? "entry" : "entries"} of a trial still on this phone: `;
    if (left.length > 0) line.append(el("a", "open that trial", { href: `/trials/${trial}` }));
  }, () => {});
  line.hidden = true;
  box.flush();
  addEventListener("online", () => box.now());
}
