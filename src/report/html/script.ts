import { phoneWidth } from './style.ts';

/**
 * The page's whole script: order and filter (kept in the address, undone by a link to what is hidden), keys, places that
 * are copied at a click, a look at the frame under the pointer, and what paper shows. The page says everything without
 * it. Plain text of the page is never read as markup here: only attributes, texts and the order of elements change.
 */
export const pageScript = `
(() => {
  const all = (selector, within = document) => [...within.querySelectorAll(selector)];
  const entries = () => all('.entry').filter((entry) => !entry.hidden);

  if (matchMedia('(max-width: ${phoneWidth})').matches)
    for (const entry of all('.entry[open]').slice(1)) entry.open = false;

  const unfold = (target) => {
    for (let at = target; at; at = at.parentElement) if (at.localName === 'details') at.open = true;
  };
  const linked = (hash) => document.getElementById(decodeURIComponent(hash.slice(1)));
  const folded = new Set();
  addEventListener('beforeprint', () => {
    for (const each of all('.entry[data-kinds~=flagged], .entry[data-kinds~=flagged] .over-time'))
      if (!each.open) { folded.add(each); each.open = true; }
  });
  addEventListener('afterprint', () => { for (const each of folded) each.open = false; folded.clear(); });

  const preview = document.createElement('figure');
  preview.className = 'preview';
  preview.append(document.createElement('img'), document.createElement('figcaption'));
  preview.firstChild.alt = '';
  document.addEventListener('pointermove', ({ target }) => {
    const frame = target instanceof Element && target.closest('.strip img');
    if (!frame) { preview.remove(); return; }
    preview.firstChild.src = frame.src;
    preview.lastChild.textContent = frame.dataset.when;
    frame.closest('.strip').after(preview);
  });

  for (const place of all('.place')) {
    place.setAttribute('role', 'button');
    place.tabIndex = 0;
    place.title = 'Copy';
  }
  const copy = (place) => {
    const text = place.textContent;
    const done = () => { place.dataset.copied = 'copied'; setTimeout(() => delete place.dataset.copied, 1200); };
    const instead = () => {
      getSelection().selectAllChildren(place);
      if (document.execCommand('copy')) done();
    };
    if (navigator.clipboard) navigator.clipboard.writeText(text).then(done, instead);
    else instead();
  };

  const tools = document.querySelector('.tools');
  const show = document.getElementById('show');
  const order = document.getElementById('order');
  const said = document.getElementById('said');
  const keys = document.getElementById('keys');
  const lists = all('[data-list]');
  const items = (list) => all(':scope > [data-kinds]', list);
  const place = (item) => Number(item.dataset.recording ?? item.dataset.series);
  const series = all('[data-series]').length;
  let column = null;

  const numberIn = (text) => {
    const parts = text.replaceAll('\\u2212', '-').match(/-?[\\d.]+/g);
    if (!parts) return null;
    const [first, second] = parts.map(Number);
    if (text.includes('/')) return first / second;
    return text.includes('min') ? first * 60 + (second || 0) : first;
  };
  const cellOf = (row) => row.cells[column.index]?.textContent ?? '';
  const byColumn = (a, b) => {
    const [x, y] = [cellOf(a), cellOf(b)];
    const [left, right] = [numberIn(x), numberIn(y)];
    if (column.index > 0 && (left !== null || right !== null))
      return left === null ? 1 : right === null ? -1 : (left - right) * column.sign;
    return x.localeCompare(y) * column.sign;
  };
  const rank = (item) => (order.value === 'shot' ? -place(item) : Number(item.dataset[order.value]));
  const byOrder = (a, b) => rank(b) - rank(a) || place(a) - place(b);

  const arrange = () => {
    const kind = show.value;
    const shown = new Set();
    let shownSeries = 0;
    const total = Number(tools.dataset.total);
    const has = (kinds) => kind === '' || (kinds ?? '').split(' ').includes(kind);
    const counted = (some, of) => (kind === '' ? '' : some + ' of ') + of + ' ';
    for (const list of lists) {
      const inTable = column && list.localName === 'tbody';
      const sorted = items(list).sort((a, b) => (inTable && byColumn(a, b)) || byOrder(a, b));
      for (const item of sorted) {
        const isMeant = has(item.dataset.kinds);
        item.hidden = !isMeant && !has(item.dataset.kindsOfSeries);
        if (isMeant && 'recording' in item.dataset) shown.add(item.dataset.recording);
        if (isMeant && 'series' in item.dataset) shownSeries += 1;
      }
      list.append(...sorted);
      const fold = list.closest('details:not(.entry)');
      if (fold && kind !== '') fold.open = sorted.some((item) => !item.hidden);
    }
    for (const section of new Set(lists.map((list) => list.closest('section'))))
      section.hidden = all('[data-list] > [data-kinds]', section).every((item) => item.hidden);
    said.textContent = counted(shown.size, total) + (total === 1 ? 'recording' : 'recordings') +
      (series === 0 ? '' : ', ' + counted(shownSeries, series) + tools.dataset.seriesWord);
  };
  const remember = () => {
    const address = new URL(location.href);
    for (const [name, value] of [['show', show.value], ['order', order.value === 'shot' ? '' : order.value]])
      if (value) address.searchParams.set(name, value);
      else address.searchParams.delete(name);
    try { history.replaceState(null, '', address); } catch { /* An address that may not change still shows the page. */ }
  };
  const recall = () => {
    const { searchParams } = new URL(location.href);
    for (const [name, choice] of [['show', show], ['order', order]]) {
      const value = searchParams.get(name);
      if (value !== null && [...choice.options].some((option) => option.value === value)) choice.value = value;
    }
  };
  const choose = (kind) => { show.value = kind; arrange(); remember(); };

  const go = (step) => {
    const shown = entries();
    const here = document.activeElement && document.activeElement.closest('.entry');
    const target = shown[Math.min(Math.max(shown.indexOf(here) + step, 0), shown.length - 1)];
    if (!target) return;
    target.firstElementChild.focus({ preventScroll: true });
    target.scrollIntoView({ block: 'start' });
  };
  const acts = {
    j: () => go(1),
    k: () => go(-1),
    o: () => {
      const entry = document.activeElement && document.activeElement.closest('.entry');
      if (entry) entry.open = !entry.open;
    },
    f: () => choose(show.value === 'flagged' ? '' : 'flagged'),
    t: () => scrollTo({ top: 0 }),
    '?': () => keys.showModal(),
  };
  document.addEventListener('keydown', (event) => {
    const { target, key } = event;
    if (event.ctrlKey || event.metaKey || event.altKey || !(target instanceof Element)) return;
    const copied = target.closest('.place');
    if (copied && (key === 'Enter' || key === ' ')) { event.preventDefault(); copy(copied); return; }
    if (!tools || keys.open || target.closest('select, input, textarea') || !Object.hasOwn(acts, key)) return;
    event.preventDefault();
    acts[key]();
  });
  document.addEventListener('click', ({ target }) => {
    if (!(target instanceof Element)) return;
    const copied = target.closest('.place');
    if (copied) copy(copied);
    const link = target.closest('a[href^="#"]');
    const to = link && linked(link.hash);
    if (!to) return;
    if (tools && to.closest('[hidden]')) choose('');
    unfold(to);
  });
  addEventListener('hashchange', () => { const to = linked(location.hash); if (to) unfold(to); });
  if (location.hash) { const to = linked(location.hash); if (to) { unfold(to); to.scrollIntoView(); } }

  if (!tools || !show || !order || !said || !keys) return;
  for (const head of all('.overview thead th')) {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = head.textContent;
    head.replaceChildren(button);
    button.addEventListener('click', () => {
      const sign = column && column.index === head.cellIndex ? -column.sign : 1;
      column = { index: head.cellIndex, sign };
      // Where there are two tables they are sorted alike.
      for (const each of all('.overview thead th')) {
        each.removeAttribute('aria-sort');
        if (each.cellIndex === column.index) each.setAttribute('aria-sort', sign === 1 ? 'ascending' : 'descending');
      }
      arrange();
    });
  }
  document.getElementById('ask-keys').addEventListener('click', acts['?']);
  show.addEventListener('change', () => { arrange(); remember(); });
  order.addEventListener('change', () => {
    column = null;
    for (const head of all('.overview thead th')) head.removeAttribute('aria-sort');
    arrange();
    remember();
  });
  tools.hidden = false;
  recall();
  arrange();
})();
`;
