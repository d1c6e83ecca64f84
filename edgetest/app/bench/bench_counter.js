export default function (component) {
  const { data, parentElement, setStateValue } = component;
  const find = (which) => parentElement.querySelector(which);
  const box = find(".steps");
  const known = new Set(data.known);
  box.taps = (box.taps || []).filter((tap) => !known.has(tap[0]));
  box.saved = box.saved || data.known.length > 0;
  const added = (which) => box.taps.reduce((sum, tap) => sum + tap[which], 0);
  const left = () => data.stage - data.met - added(1);
  const send = () => setStateValue("taps", box.taps.slice());
  // A page that comes back to the server does not run again by itself: send until it answers.
  // Buttons that are gone have been answered: the page went on to something else.
  function insist() {
    clearTimeout(box.again);
    if (!box.taps.length) { box.unheard = 0; return; }
    box.again = setTimeout(() => {
      if (!box.isConnected) return;
      // A server that forgot this part of the page hears it again once all of the page was drawn.
      box.unheard = (box.unheard || 0) + 1;
      if (box.unheard % 2 === 0) document.querySelector(data.awake)?.click();
      else send();
      insist();
    }, 2000);
  }
  function words() {
    const [one, many] = data.unit;
    const count = data.met + added(1);
    const rest = data.of ? ` of ${data.of} ${many}` : ` ${count === 1 ? one : many}`;
    const missed = data.missed === null ? "" : `, ${data.missed + added(2)} missed the kerf`;
    return [count, rest + missed];
  }
  function show() {
    const [count, rest] = words();
    find(".count b").textContent = count;
    find(".count span").textContent = rest.trim();
    find(".bar").hidden = !data.of;
    find(".bar i").style.width = data.of ? `${(100 * count) / data.of}%` : "0";
    for (const button of box.children) {
      const step = Number(button.dataset.step);
      button.disabled = left() <= 0 || step > left();
      if (!step) button.textContent = `All ${Math.max(left(), 0)}`;
    }
    find(".word").textContent = box.taps.length
      ? `Saving +${added(1)}` : box.saved ? "Saved" : "";
    // Only what is on disk is called out.
    if (box.saved && !box.taps.length) find(".told").textContent = `${count}${rest}, saved`;
  }
  function tap(step, missed) {
    const cuts = step || left();
    if (cuts <= 0 || cuts > left()) return;
    const name = Array.from(crypto.getRandomValues(new Uint32Array(3)), (n) => n.toString(36));
    box.taps.push([name.join(""), cuts, missed]);
    show();
    send();
    insist();
  }
  find(".count").classList.toggle("misses", data.missed !== null);
  box.setAttribute("aria-label", data.label);
  if (!box.children.length) {
    data.steps.forEach((step, place) => {
      const button = document.createElement("button");
      button.type = "button";
      button.dataset.step = step.cuts;
      button.dataset.missed = step.missed;
      button.textContent = step.words;
      if (!place) button.className = "first";
      else if (step.missed) button.className = "missed";
      else if (!step.cuts) button.className = "rest";
      box.appendChild(button);
    });
  }
  for (const button of box.children)
    button.onclick = () => tap(Number(button.dataset.step), Number(button.dataset.missed));
  show();
  insist();
}
