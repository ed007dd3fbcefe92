"""What the page adds to every screen so that it can be used without mouse and without sight: names, states, values."""

ACCESS = """
const root = this.closest('.seamproof');
if (root && !root.seamproofSeen) {
  root.seamproofSeen = true;
  const put = (e, name, value) => { if (e && e.getAttribute(name) !== value) e.setAttribute(name, value); };
  const read = e => e ? (e.value ?? e.innerText ?? '').trim() : '';
  const find = (e, what) => e ? e.querySelector(what) : null;
  const all = (what, act) => root.querySelectorAll(what).forEach(act);
  const mend = () => {
    all('.jupyter-widget-Collapse-header', head => {
      put(head, 'role', 'button'); put(head, 'tabindex', '0');
      put(head, 'aria-expanded', String(head.parentElement.classList.contains('jupyter-widget-Collapse-open')));
      if (head.seamproofKeys) return;
      head.seamproofKeys = true;
      head.addEventListener('keydown', e => {
        if (e.key === 'Enter' || e.key === ' ') { e.preventDefault(); e.stopPropagation(); head.click(); } });
    });
    all('.widget-slider', slider => {
      const label = read(find(slider, '.widget-label')), readout = find(slider, '.widget-readout');
      const field = find(slider.closest('.seamproof-length'), '.widget-text input');
      const knobs = slider.querySelectorAll('.noUi-handle');
      knobs.forEach((knob, i) => {
        put(knob, 'aria-label', knobs.length < 2 ? label : label + (i ? ', at most' : ', at least'));
        const said = field ? read(field) : read(readout);
        if (said) put(knob, 'aria-valuetext', said);
      });
      if (readout) { put(readout, 'role', readout.isContentEditable ? 'textbox' : 'status');
        put(readout, 'aria-label', label); }
      if (field) put(field, 'aria-label', label + ', typed');
    });
    all('input, select, textarea', field => {
      const named = [...(field.labels || [])].some(one => one.innerText.trim());
      const said = field.title || field.closest('[title]')?.title || field.placeholder;
      if (!named && !field.getAttribute('aria-label') && said) put(field, 'aria-label', said);
    });
    all('input[type=color]', field => {
      const name = read(find(field.closest('.widget-hbox'), 'input[type=text]'));
      put(field, 'aria-label', name ? 'Colour of ' + name : 'Colour of the thread');
    });
    all('button', button => { if (!button.innerText.trim() && button.title) put(button, 'aria-label', button.title); });
    all('.widget-toggle-buttons', group => {
      put(group, 'role', 'group');
      put(group, 'aria-label', read(find(group, '.widget-label')) || 'Sections');
      group.querySelectorAll('button').forEach(b => put(b, 'aria-pressed', String(b.classList.contains('mod-active'))));
    });
    all('.seamproof-tray button', b => put(b, 'aria-pressed', String(b.classList.contains('seamproof-taken'))));
    all('.seamproof-message > *, .seamproof-message', box => { put(box, 'aria-live', 'polite'); });
    all('.seamproof-message, .seamproof-table, .seamproof-scroll', box => {
      if (box.scrollHeight > box.clientHeight + 1 || box.scrollWidth > box.clientWidth + 1) {
        put(box, 'tabindex', '0'); put(box, 'role', 'group');
        put(box, 'aria-label', box.classList.contains('seamproof-message') ? 'Message' : 'Table'); }
      else box.removeAttribute('tabindex');
    });
    all('.widget-hprogress .progress, [role=progressbar]', bar => {
      put(bar, 'aria-label', read(find(bar.closest('.widget-hprogress'), '.widget-label')) || 'Progress'); });
    all('*', holder => {  // sliders within a picture draw themselves behind a boundary of their own
      const stack = holder.shadowRoot ? [holder.shadowRoot] : [];
      while (stack.length) {
        const inside = stack.pop();
        inside.querySelectorAll('*').forEach(e => { if (e.shadowRoot) stack.push(e.shadowRoot); });
        inside.querySelectorAll('.noUi-handle').forEach(knob =>
          put(knob, 'aria-label', read(inside.querySelector('.bk-slider-title')).split(':')[0] || 'Along the route'));
      }
    });
    all('.seamproof-picture', picture => {
      const words = find(picture.closest('.seamproof-stage') || root, '.seamproof-said');
      put(picture, 'role', 'figure');
      put(picture, 'aria-label', read(words) || 'Picture');
    });
    all('.lm-TabBar-tab', tab => {
      const chosen = tab.classList.contains('lm-mod-current');
      put(tab, 'role', 'tab'); put(tab, 'tabindex', chosen ? '0' : '-1');
      put(tab, 'aria-selected', String(chosen));
      if (tab.seamproofKeys) return;
      tab.seamproofKeys = true;
      tab.addEventListener('keydown', e => {
        const step = {ArrowRight: 1, ArrowLeft: -1}[e.key];
        if (!step && e.key !== 'Enter' && e.key !== ' ') return;
        e.preventDefault(); e.stopPropagation();
        const tabs = [...tab.parentElement.children];
        const next = step ? tabs[(tabs.indexOf(tab) + step + tabs.length) % tabs.length] : tab;
        for (const kind of ['pointerdown', 'pointerup']) {
          const box = next.getBoundingClientRect();
          const at = {bubbles: true, button: 0, clientX: box.x + 4, clientY: box.y + 4};
          next.dispatchEvent(new PointerEvent(kind, at));
        }
        next.focus();
      });
    });
  };
  let due = false;
  const later = () => { if (!due) { due = true; setTimeout(() => { due = false; mend(); }, 80); } };
  new MutationObserver(later).observe(root, {subtree: true, childList: true, characterData: true, attributes: true,
    attributeFilter: ['class', 'aria-valuenow', 'disabled']});
  root.addEventListener('change', later);
  root.addEventListener('focusin', e => {
    if (e.target.matches('select, button, input[type=checkbox], [role=slider], [role=button], [role=tab]'))
      e.target.setAttribute('data-lm-suppress-shortcuts', 'true'); });
  mend();
}
"""
"""Run once for each screen: widgets have no such attributes, so the page puts them on, and follows their changes."""
