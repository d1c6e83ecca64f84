"""Where do menu and keyboard go after a choice? The menu closes, the new page is under the hand."""

import streamlit as st

# Up to this width the menu lies over the page: the framework's own limit of narrow screens.
NARROW_PX = 768

_JS = """
(() => {
  if (window.edgetestMenu) return;
  window.edgetestMenu = true;
  const find = (name) => document.querySelector(name);
  const atRest = () => find('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning';
  let turn = 0;

  function focusHeading(scroll) {
    const heading = find('[data-testid=stMain] h1');
    if (!heading) return false;
    if (!heading.hasAttribute('tabindex')) heading.setAttribute('tabindex', '-1');
    heading.focus({ preventScroll: !scroll });
    return true;
  }

  // Focus that the tapped thing took with it, given to the page's heading once the page rests.
  function keepFocus(path, scroll) {
    const mine = ++turn, end = Date.now() + 60000;
    let rested = 0;
    const look = () => {
      if (mine !== turn || Date.now() > end) return;
      const here = document.activeElement;
      const nowhere = !here || here === document.body || !here.isConnected;
      const arrived = !path || location.pathname === path;
      rested = arrived && atRest() ? rested + 1 : 0;
      const inMenu = path && here?.closest?.('[data-testid=stSidebar]');
      if (arrived && rested >= 2 && (nowhere || inMenu)) focusHeading(scroll);
      if (rested < 4) setTimeout(look, 100);
    };
    setTimeout(look, 100);
  }

  document.addEventListener('click', (event) => {
    const link = event.target.closest?.('[data-testid=stPageLink-NavLink]');
    const menu = link?.closest('[data-testid=stSidebar]');
    if (menu && innerWidth <= NARROW) {
      setTimeout(() => find('[data-testid=stSidebarCollapseButton] button')?.click(), 0);
    }
    if (link) return keepFocus(link.pathname, true);
    const tapped = event.target.closest?.('button, a, summary, label, input, [role=option]');
    if (tapped?.closest('[data-testid=stMain]')) keepFocus('', false);
  }, true);
  addEventListener('keydown', (event) => { if (event.key === 'Tab') turn += 1; }, true);
})();
"""


def watch():
    """Put the watch on a page; once a run, from the navigation."""
    script = _JS.replace("NARROW", str(NARROW_PX))
    st.html(f"<script>{script}</script>", unsafe_allow_javascript=True)
