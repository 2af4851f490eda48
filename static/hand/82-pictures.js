// A picture of the glass counts as having looked: the look goes out like any entry, the picture in a queue of its own. It
// goes only while no entry waits, and is broken off for one, so that it never delays a reading; what was broken off is made
// smaller, so that it fits between two readings at last.

const SIDE_PX = 1600;
const LEAST_PX = 640;

/** Made smaller on the phone: less to carry over a poor link. What cannot be drawn here is sent as it is. */
async function smaller(file, side) {
  try {
    const whole = await createImageBitmap(file, { imageOrientation: "from-image" });
    const by = Math.min(1, side / Math.max(whole.width, whole.height));
    const canvas = el("canvas", "", { width: Math.round(whole.width * by), height: Math.round(whole.height * by) });
    canvas.getContext("2d").drawImage(whole, 0, 0, canvas.width, canvas.height);
    return (await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85))) ?? file;
  } catch {
    return file;
  }
}

let onItsWay = null;

/** Called after every change of the outbox: an entry goes first. */
function picturesYield() {
  if (!entriesWait()) sendPictures();
  else onItsWay?.abort();
}


let sendingPictures = false;
let pictureTries = 0;
let pictureTimer = 0;

async function sendPictures() {
  if (sendingPictures || entriesWait()) return;
  sendingPictures = true;
  clearTimeout(pictureTimer);
  let picture;
  try {
    for (picture of (await store.pictures.all()).filter((p) => p.trial === trial && !p.refused)) {
      const form = new FormData();
      for (const [name, value] of [["key", picture.key], ["caption", picture.caption], ["taken_on", picture.day]]) form.set(name, value);
      for (const key of (picture.before ?? []).slice(-32)) form.append("before", key);
      form.set("taken", picture.blob, "glass.jpg");
      onItsWay = new AbortController();
      const answer = await fetch(`/pictures?of=trial-${trial}`, { method: "POST", headers: { accept: "application/json" }, body: form, signal: onItsWay.signal });
      if (answer.ok) {
        await store.pictures.drop(picture.key);
        refresh();
      } else if (answer.status >= 500 || [401, 408, 429].includes(answer.status)) throw new Error("later");
      else await store.pictures.put({ ...picture, refused: `not taken (${answer.status})` });
      pictureTries = 0;
    }
  } catch (why) {
    if (why.name === "AbortError") {
      const side = Math.max(LEAST_PX, Math.round((picture.side ?? SIDE_PX) * 0.75));
      const before = [...(picture.before ?? []), picture.key];
      await store.pictures.put({ ...picture, key: freshKey(), before, side, blob: await smaller(picture.blob, side) });
      await store.pictures.drop(picture.key);
    }
    pictureTimer = setTimeout(sendPictures, wait(pictureTries++));
  } finally {
    onItsWay = null;
    sendingPictures = false;
    await tellPictures();
  }
}

/** How many pictures lie on this phone: said before they are sent, for that can take minutes. */
async function tellPictures() {
  const left = (await store.pictures.all()).filter((p) => p.trial === trial);
  const bad = left.find((p) => p.refused);
  // A trial without a fire has no glass to take, and no line for what is left.
  const line = $("pictures-left");
  if (line) line.textContent = left.length === 0 ? "" : `${left.length} ${left.length === 1 ? "picture" : "pictures"} on this phone${bad ? `: ${bad.refused}` : ""}`;
}
