const KEYS = ["7", "8", "9", "⌫", "4", "5", "6", "<", "1", "2", "3", ">", ",", "0", ".", "-"];
const NAMES = { "⌫": "Back", "<": "Less than", ">": "More than", ",": "Comma", ".": "Point",
  "-": "To" };

export default function (component) {
  const { data, parentElement, setTriggerValue } = component;
  const find = (which) => parentElement.querySelector(which);
  const pad = find(".pad"), input = find("input"), keys = find(".keys"), told = find(".told");
  const save = find(".save");
  // What is typed and not saved yet stays with this window, through a reload and a dead server.
  const kept = {
    get: (due) => { try { return sessionStorage.getItem(`bench ${due}`) || ""; }
      catch { return ""; } },
    set: (due, text) => { try {
      if (text) sessionStorage.setItem(`bench ${due}`, text);
      else sessionStorage.removeItem(`bench ${due}`);
    } catch { /* a browser that keeps nothing */ } },
  };
  function send() {
    setTriggerValue("save", pad.sent);
    clearTimeout(pad.again);  // a page that comes back does not run again by itself
    pad.again = setTimeout(() => { if (pad.sent && pad.isConnected) send(); }, 2000);
  }
  function go() {
    const text = input.value.trim();
    if (!text || pad.sent) return;
    const number = crypto.getRandomValues(new Uint32Array(2)).join("");
    pad.sent = { due: data.due, text, number };
    told.textContent = `Saving ${text}`;
    show();
    send();
  }
  function show() {
    input.readOnly = Boolean(pad.sent);
    for (const key of keys.children) key.disabled = Boolean(pad.sent);
    save.disabled = Boolean(pad.sent) || !input.value.trim();
  }
  function typed() {
    kept.set(data.due, input.value);
    show();
  }
  function press(key) {
    const [from, to] = [input.selectionStart, input.selectionEnd];
    if (key !== "⌫") input.setRangeText(key, from, to, "end");
    else input.setRangeText("", from === to ? Math.max(from - 1, 0) : from, to, "end");
    typed();
  }
  if (!keys.children.length) {
    for (const key of KEYS) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = key;
      if (NAMES[key]) button.setAttribute("aria-label", NAMES[key]);
      // The place in the field stays where it is while keys are tapped.
      button.onpointerdown = (event) => event.preventDefault();
      keys.appendChild(button);
    }
  }
  if (pad.sent && data.answered === pad.sent.number) {
    if (data.saved) kept.set(pad.sent.due, "");
    told.textContent = data.saved ? `Saved ${pad.sent.text}` : "Not saved: see above";
    pad.sent = null;
  } else if (pad.sent && data.due !== pad.due) {  // the page went on without this number
    told.textContent = "";
    pad.sent = null;
  }
  if (!pad.sent && data.taken_back) told.textContent = "";
  if (!pad.sent) clearTimeout(pad.again);
  if (data.due !== pad.due) {
    pad.due = data.due;
    input.value = kept.get(data.due);
  }
  find(".label").textContent = data.label;
  input.setAttribute("aria-label", data.label);
  input.setAttribute("aria-invalid", String(data.refused));
  for (const button of keys.children) button.onclick = () => press(button.textContent);
  input.oninput = typed;
  input.onkeydown = (event) => { if (event.key === "Enter") { event.preventDefault(); go(); } };
  save.onclick = go;
  show();
}
