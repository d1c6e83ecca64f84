// The camera of this device, live: one frame at a time goes to the program, which answers with
// words; the next one leaves only after that. The picture that is taken goes there whole.

const EVERY_MS = 500; // from one frame to the next; a slow machine rests a third of the time
const SHARPEST_MS = 60_000; // what was sharp longer ago may have been another place
const LOST_MS = 8000; // a frame without an answer by then is given up: the program was away
const MOST_FRAME_PX = 5.1e6; // of a frame that is only looked at: 2592 x 1944 goes whole
const MOST_PNG_BYTES = 16e6; // the program takes messages up to 25 MB, in letters a third longer
const CHOSEN = "edgetest.camera";
const FILE = "or bring the picture as a file, below.";

const REFUSED = {
  insecure: ["The camera cannot be opened here",
    `A browser lends its camera only to a page from its own machine. On the computer that the ` +
    `microscope is plugged into open http://localhost:${location.port || 80}, ${FILE}`],
  NotAllowedError: ["The camera is not allowed",
    `Tap the sign beside the page's address, allow the camera, then 'Try again'; ${FILE}`],
  NotFoundError: ["No camera is found", `Plug it in, then 'Try again'; ${FILE}`],
  NotReadableError: ["The camera is busy",
    `Close the other program or page that shows its picture, then 'Try again'; ${FILE}`],
  ended: ["The camera is gone", `See to its plug and cable, then 'Try again'; ${FILE}`],
};
REFUSED.SecurityError = REFUSED.NotAllowedError;
REFUSED.OverconstrainedError = REFUSED.NotFoundError;

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const box = parentElement.querySelector(".live");
  box.send = setTriggerValue; // the page that is shown now knows no earlier one
  box.camera = box.camera || new LiveCamera(box);
  box.camera.answered(data);
  return () => setTimeout(() => { if (!box.isConnected) box.camera.close(); });
}

class LiveCamera {
  constructor(box) {
    this.box = box;
    this.find = (name) => box.querySelector(name);
    this.video = this.find("video");
    this.mark = Math.random().toString(36).slice(2); // answers to an earlier page are not ours
    this.count = 0;
    this.waiting = this.taken = this.stream = this.timer = null;
    this.lastKey = "";
    this.find(".take").onclick = () => this.take();
    this.find(".again").onclick = () => this.open();
    this.find(".over").onclick = () => this.over(this.find(".over").ariaPressed !== "true");
    this.find("select").onchange = (event) => { keep(event.target.value); this.open(); };
    this.open();
  }

  async open() {
    const turn = (this.turn = {});
    this.close();
    this.blurs = [];
    delete this.box.dataset.closed;
    this.find(".again").hidden = true;
    this.find(".take").disabled = true;
    this.words("waits", "The camera opens", "If the browser asks, allow the camera.");
    if (!navigator.mediaDevices?.getUserMedia) return this.refuse("insecure");
    let stream;
    try {
      stream = await openCamera(kept());
    } catch (fault) {
      if (turn === this.turn) this.refuse(fault.name);
      return;
    }
    if (turn !== this.turn || !this.box.isConnected) return stop(stream);
    this.stream = stream;
    stream.getVideoTracks()[0].onended = () => { this.close(); this.refuse("ended"); };
    this.video.srcObject = stream;
    await this.video.play().catch(() => {});
    await this.list();
    this.find(".take").disabled = false;
    this.later(0);
  }

  async list() {
    const all = await navigator.mediaDevices.enumerateDevices();
    const cameras = all.filter((each) => each.kind === "videoinput");
    const now = this.stream?.getVideoTracks()[0].getSettings().deviceId;
    this.find("select").replaceChildren(...cameras.map((each, i) =>
      new Option(each.label || `Camera ${i + 1}`, each.deviceId, false, each.deviceId === now)));
    this.find(".which").hidden = cameras.length < 2;
  }

  close() {
    clearTimeout(this.timer);
    stop(this.stream);
    this.stream = this.waiting = null;
  }

  refuse(name) {
    const [first, rest] = REFUSED[name] || ["The camera does not open",
      `The browser says ${name}. Plug it in again, then 'Try again'; ${FILE}`];
    this.box.dataset.closed = "";
    this.find(".again").hidden = name === "insecure";
    this.words("limits", first, rest);
    this.find(".told").textContent = `${first}. ${rest}`;
  }

  later(wait) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.look(), wait);
  }

  async look() {
    if (!this.box.isConnected) return this.close();
    if (!this.stream || this.taken) return;
    if (document.hidden || this.video.readyState < 2 || !this.video.videoWidth)
      return this.later(EVERY_MS);
    const number = (this.waiting = `${this.mark}.${(this.count += 1)}`);
    this.began = performance.now();
    const frame = await drawn(this.video, MOST_FRAME_PX, "image/jpeg", 0.92);
    if (this.waiting !== number || this.taken) return;
    this.box.send("frame", { number, last: this.lastKey, ...frame });
    this.later(LOST_MS);
  }

  answered(data) {
    if (data.last) {
      this.lastKey = data.last.key;
      this.find("img.last").src = data.last.address;
      this.find("img.last").alt = `The last picture of this station, ${data.last.words}`;
      this.find(".over").hidden = false;
      this.over(this.find(".over").ariaPressed === "true");
    }
    if (!this.waiting || data.number !== this.waiting) return;
    this.waiting = null;
    const spent = performance.now() - this.began;
    this.box.dataset.spent = Math.round(spent);
    if (!this.stream || this.taken) return;
    this.words(data.gravity, data.first, data.rest, data.place);
    this.sharpness(data.blur, data.figures);
    if (data.first === this.before && this.told !== data.first)
      this.find(".told").textContent = this.told = data.first; // read out once it stays
    this.before = data.first;
    this.later(Math.max(EVERY_MS - spent, spent / 2));
  }

  words(gravity, first, rest, place = "") {
    this.find(".advice").dataset.gravity = gravity;
    write(this.find(".first"), first);
    write(this.find(".rest"), rest);
    write(this.find(".place"), place);
  }

  sharpness(blur, figures) {
    const now = performance.now();
    if (blur) this.blurs.push([now, blur]);
    this.blurs = this.blurs.filter(([when]) => now - when < SHARPEST_MS);
    const best = Math.min(...this.blurs.map(([, each]) => each));
    this.find(".sharp").hidden = !this.blurs.length;
    this.find(".track i").style.width = blur ? `${(100 * best) / blur}%` : "0";
    write(this.find(".figures"), figures + (blur ? ` · sharpest ${best.toFixed(1)} px` : ""));
  }

  over(shown) {
    this.find(".over").ariaPressed = String(shown);
    this.find("img.last").hidden = !shown;
  }

  async take() {
    if (!this.stream || this.taken) return;
    this.taken = {};
    this.find(".take").disabled = true;
    this.video.pause();
    let picture = await drawn(this.video, Infinity, "image/png");
    if (picture.letters.length > (MOST_PNG_BYTES * 4) / 3)
      picture = await drawn(this.video, Infinity, "image/jpeg", 0.97);
    this.taken = { number: `${this.mark}.taken`, ...picture };
    this.words("waits", "Taken", "It is looked at once more, then you say whether it is kept.");
    this.insist();
  }

  insist() {
    if (!this.box.isConnected) return this.close();
    this.box.send("taken", this.taken);
    this.timer = setTimeout(() => this.insist(), LOST_MS);
  }
}

function openCamera(device) {
  const whole = { width: { ideal: 4096 }, height: { ideal: 3072 }, resizeMode: { ideal: "none" } };
  const ask = (which) => navigator.mediaDevices.getUserMedia(
    { audio: false, video: { ...whole, ...which } });
  const any = { facingMode: { ideal: "environment" } };
  if (!device) return ask(any);
  // The camera of last time may be unplugged: then another.
  return ask({ deviceId: { exact: device } }).catch((fault) => {
    if (fault.name === "NotAllowedError") throw fault;
    return ask(any);
  });
}

async function drawn(video, mostPx, kind, quality) {
  const width = video.videoWidth, height = video.videoHeight;
  const times = Math.max(1, Math.sqrt((width * height) / mostPx));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(width / times);
  canvas.height = Math.round(height / times);
  const pen = canvas.getContext("2d", { alpha: false });
  pen.imageSmoothingQuality = "high";
  pen.drawImage(video, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, kind, quality));
  const address = await new Promise((done) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result);
    reader.readAsDataURL(blob);
  });
  return { letters: address.slice(address.indexOf(",") + 1), width, height, kind };
}

function stop(stream) {
  for (const track of stream?.getTracks() || []) { track.onended = null; track.stop(); }
}

function write(place, words) {
  if (place.textContent !== words) place.textContent = words;
}

function kept() {
  try { return localStorage.getItem(CHOSEN); } catch { return null; }
}

function keep(device) {
  try { localStorage.setItem(CHOSEN, device); } catch { /* then it is chosen again next time */ }
}
