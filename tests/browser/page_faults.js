// What of a page cannot be read or tapped: each finding is [what, where].
(options) => {
  const found = [];
  const SLACK = 2, LEAST = options.target || 0, WIDE = document.documentElement.clientWidth;
  const CONTROLS = 'button, a[href], input, textarea, select, summary, [role=button], ' +
    '[role=radio], [role=checkbox], [role=switch], [role=slider], [role=combobox], [role=tab]';

  const style = new Map();
  const styleOf = (element) => {
    if (!style.has(element)) style.set(element, getComputedStyle(element));
    return style.get(element);
  };
  const parentOf = (element) => element.assignedSlot || element.parentElement ||
    (element.getRootNode() instanceof ShadowRoot ? element.getRootNode().host : null);
  const inside = (inner, outer) => {
    for (let e = inner; e; e = parentOf(e)) if (e === outer) return true;
    return false;
  };
  const words = (element) => (element.innerText || element.value || element.ariaLabel ||
    element.getAttribute('aria-label') || element.alt || '').trim().replace(/\s+/g, ' ').slice(0, 60);
  const name = (element) => {
    const holder = element.closest('[data-testid]') || element;
    return `${holder.dataset?.testid || holder.tagName.toLowerCase()} "${words(element)}"`;
  };

  // Shown to the ear alone: a box of one pixel, or clipped away.
  const earOnly = (element) => {
    const box = element.getBoundingClientRect(), its = styleOf(element);
    return (box.width <= 1.5 || box.height <= 1.5) && its.overflowX !== 'visible' ||
      its.clipPath === 'inset(50%)' || its.clip === 'rect(0px, 0px, 0px, 0px)';
  };
  const hidden = new Map();
  const isHidden = (element) => {
    if (!element) return false;
    if (!hidden.has(element)) {
      const its = styleOf(element);
      hidden.set(element, !element.checkVisibility() || its.display === 'none' || its.visibility !== 'visible' ||
        Number(its.opacity) === 0 || earOnly(element) || isHidden(parentOf(element)));
    }
    return hidden.get(element);
  };

  // What of a box is left by everything that clips it; `cut` names who takes a part away.
  function clipped(box, element, own) {
    let [left, top, right, bottom] = [box.left, box.top, box.right, box.bottom];
    let cut = null, scrolls = false;
    for (let e = own ? element : parentOf(element); e; e = parentOf(e)) {
      const its = styleOf(e);
      if (its.position === 'fixed') break;
      const hides = { x: its.overflowX, y: its.overflowY };
      if (hides.x === 'visible' && hides.y === 'visible') continue;
      const room = e.getBoundingClientRect();
      const outX = Math.max(room.left - left, right - room.right);
      const outY = Math.max(room.top - top, bottom - room.bottom);
      if (/auto|scroll/.test(hides.x) && outX > SLACK) scrolls = true;
      if (/auto|scroll/.test(hides.y) && outY > SLACK) scrolls = true;
      if (!scrolls && /hidden|clip/.test(hides.x) && outX > SLACK) cut = cut || e;
      if (!scrolls && /hidden|clip/.test(hides.y) && outY > SLACK) cut = cut || e;
      if (hides.x !== 'visible') [left, right] = [Math.max(left, room.left), Math.min(right, room.right)];
      if (hides.y !== 'visible') [top, bottom] = [Math.max(top, room.top), Math.min(bottom, room.bottom)];
    }
    return { left, top, right, bottom, cut, empty: right - left < 1 || bottom - top < 1 };
  }

  const everything = [];
  (function gather(root) {
    for (const element of root.querySelectorAll('*')) {
      everything.push(element);
      if (element.shadowRoot) gather(element.shadowRoot);
    }
  })(document.body);

  const texts = [], things = [];
  for (const element of everything) {
    if (['SCRIPT', 'STYLE', 'NOSCRIPT', 'TITLE'].includes(element.tagName)) continue;
    if (element.closest('svg, canvas, [data-testid=stIconMaterial]') || isHidden(element)) continue;
    const control = element.matches(CONTROLS);
    for (const node of element.childNodes) {
      if (node.nodeType !== Node.TEXT_NODE || !node.textContent.trim()) continue;
      const range = document.createRange();
      range.selectNodeContents(node);
      for (const box of range.getClientRects()) {
        if (box.width > 1 && box.height > 1) texts.push({ element, box, text: true });
      }
    }
    if (control) things.push({ element, box: element.getBoundingClientRect() });
  }

  for (const id of ['html', 'body', '[data-testid=stMain]', '[data-testid=stApp]']) {
    const e = document.querySelector(id);
    if (e && e.scrollWidth > e.clientWidth + SLACK && e.clientWidth > 0) {
      found.push(['the page scrolls sideways', `${id}: ${e.scrollWidth} px of ${e.clientWidth}`]);
    }
  }

  const seen = [];
  for (const each of texts) {
    const left = clipped(each.box, each.element, true);
    if (left.cut) {
      const nothing = left.empty && left.cut.getBoundingClientRect().height < 2;
      if (!nothing) found.push(['text is cut', name(each.element)]);
    } else if (!left.empty && (each.box.right > WIDE + SLACK || each.box.left < -SLACK) &&
               left.right > WIDE + SLACK) {
      found.push(['text lies beside the screen', name(each.element)]);
    }
    if (!left.empty) seen.push({ ...each, box: left });
  }
  const pen = document.createElement('canvas').getContext('2d');
  for (const { element } of things) {
    if (!element.matches('input, textarea') || !element.placeholder || element.value) continue;
    const its = styleOf(element);
    pen.font = its.font;
    const room = element.clientWidth - parseFloat(its.paddingLeft) - parseFloat(its.paddingRight);
    if (pen.measureText(element.placeholder).width > room + SLACK && element.tagName === 'INPUT') {
      found.push(['text is cut', `placeholder "${element.placeholder}"`]);
    }
  }

  // The place that answers a tap: of a box or a switch, its label.
  const answers = (element) => {
    const label = element.matches('input') && element.labels?.[0];
    const small = element.matches('input[type=checkbox], input[type=radio], [role=switch]');
    return small ? element.closest('label') || label || element : element;
  };
  for (const { element } of things) {
    const place = answers(element), box = place.getBoundingClientRect();
    const left = clipped(box, place, false);
    if (left.empty || isHidden(place)) continue;
    if (!seen.some((each) => each.element === place)) seen.push({ element: place, box: left });
    if (element.matches('input[type=file]') || element.disabled || element.tabIndex < 0 && !element.matches('button, a')) continue;
    const field = element.matches('input, textarea, [role=combobox]') &&
      element.closest('[role=group], [data-baseweb], .react-aria-NumberField, .react-aria-ComboBox');
    const wide = field ? field.getBoundingClientRect() : box;
    const [w, h] = [Math.max(box.width, wide.width), Math.max(box.height, wide.height)];
    const inText = element.matches('a') && styleOf(element).display === 'inline' &&
      words(element) !== words(element.parentElement);
    if (inText) continue;  // a link within a sentence is as high as its line
    if (w < LEAST - 0.5 || h < LEAST - 0.5) {
      found.push([`target under ${LEAST} px`, `${name(element)}: ${Math.round(w)} × ${Math.round(h)}`]);
    }
  }

  // Which of two lies on top of the other, where neither holds the other.
  const layer = (element) => {
    for (let e = element; e; e = parentOf(e)) {
      if (['fixed', 'sticky'].includes(styleOf(e).position)) return e;
      if (e.matches?.('[data-testid=stSidebar], [data-testid=stHeader]')) return e;
    }
    return null;
  };
  for (const each of seen) each.layer = layer(each.element);
  seen.sort((a, b) => a.box.top - b.box.top);
  for (let i = 0; i < seen.length; i++) {
    for (let j = i + 1; j < seen.length && seen[j].box.top < seen[i].box.bottom - 3; j++) {
      const [a, b] = [seen[i], seen[j]];
      const wide = Math.min(a.box.right, b.box.right) - Math.max(a.box.left, b.box.left);
      const high = Math.min(a.box.bottom, b.box.bottom) - Math.max(a.box.top, b.box.top);
      if (wide < 3 || high < 4 || a.layer !== b.layer) continue;
      if (a.element === b.element || inside(a.element, b.element) || inside(b.element, a.element)) continue;
      const shared = a.element.closest('label, button, a, [role=group], [role=radiogroup]');
      if (shared && inside(b.element, shared)) continue;
      found.push(['things lie over each other', `${name(a.element)} and ${name(b.element)}`]);
    }
  }
  return [...new Set(found.map((each) => each.join('\u0000')))].map((each) => each.split('\u0000'));
}
