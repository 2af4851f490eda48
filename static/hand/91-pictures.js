// A picture of the glass is taken: the look goes into the outbox, the picture into its own queue.

$("glass-picture")?.addEventListener("change", async (event) => {
  const [file] = event.target.files;
  if (!file) return;
  const { at } = clock.now();
  const data = new FormData();
  for (const [name, value] of [["what", "event"], ["page", form.elements.page.value], ["event", "look-by-picture"]]) data.set(name, value);
  enter(form, data);
  event.target.value = "";
  const day = new Date(at + zone_ms).toISOString().slice(0, 10);
  await store.pictures.put({ key: freshKey(), trial, day, caption: `the glass at ${hour(at, zone_ms)}`, blob: await smaller(file, SIDE_PX) });
  await tellPictures();
  sendPictures();
});
addEventListener("online", sendPictures);
live.addEventListener("open", sendPictures);
sendPictures();
