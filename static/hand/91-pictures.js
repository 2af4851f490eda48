// A picture of the glass counts as having looked: the look goes out like any entry, the picture in a queue of its own, so
// that it never delays a reading.

const SIDE_PX = 1600;

/** Made smaller on the phone: less to carry over a poor link. What cannot be drawn here is sent as it is. */
async function smaller(file) {
  try {
    const whole = await createImageBitmap(file, { imageOrientation: "from-image" });
    const by = Math.min(1, SIDE_PX / Math.max(whole.width, whole.height));
    const canvas = el("canvas", "", { width: Math.round(whole.width * by), height: Math.round(whole.height * by) });
    canvas.getContext("2d").drawImage(whole, 0, 0, canvas.width, canvas.height);
    return (await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85))) ?? file;
  } catch {
    return file;
  }
}

let sendingPictures = false;
let pictureTries = 0;
let pictureTimer = 0;

async function sendPictures() {
  if (sendingPictures) return;
  sendingPictures = true;
  clearTimeout(pictureTimer);
  try {
    for (const picture of (await store.pictures.all()).filter((p) => p.trial === trial && !p.refused)) {
      const form = new FormData();
      for (const [name, value] of [["key", picture.key], ["caption", picture.caption], ["taken_on", picture.day]]) form.set(name, value);
      form.set("taken", picture.blob, "glass.jpg");
      const answer = await fetch(`/pictures?of=trial-${trial}`, { method: "POST", headers: { accept: "application/json" }, body: form });
      if (answer.ok) await store.pictures.drop(picture.key);
      else if (answer.status >= 500 || [401, 408, 429].includes(answer.status)) throw new Error("later");
      else await store.pictures.put({ ...picture, refused: `not taken (${answer.status})` });
      pictureTries = 0;
    }
  } catch {
    pictureTimer = setTimeout(sendPictures, wait(pictureTries++));
  } finally {
    sendingPictures = false;
    const left = (await store.pictures.all()).filter((p) => p.trial === trial);
    const bad = left.find((p) => p.refused);
    // A trial without a fire has no glass to take, and no line for what is left.
    const line = $("pictures-left");
    if (line) line.textContent = left.length === 0 ? "" : `${left.length} ${left.length === 1 ? "picture" : "pictures"} on this phone${bad ? `: ${bad.refused}` : ""}`;
  }
}

$("glass-picture")?.addEventListener("change", async (event) => {
  const [file] = event.target.files;
  if (!file) return;
  const { at } = clock.now();
  const data = new FormData();
  for (const [name, value] of [["what", "event"], ["page", form.elements.page.value], ["event", "look-by-picture"]]) data.set(name, value);
  enter(form, data);
  event.target.value = "";
  const day = new Date(at + zone_ms).toISOString().slice(0, 10);
  await store.pictures.put({ key: freshKey(), trial, day, caption: `the glass at ${hour(at, zone_ms)}`, blob: await smaller(file) });
  sendPictures();
});
addEventListener("online", sendPictures);
live.addEventListener("open", sendPictures);
sendPictures();
