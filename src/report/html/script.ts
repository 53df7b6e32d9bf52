import { phoneWidth } from './style.ts';

/**
 * The page's whole script: sorting, filtering (undone by a link to what is hidden), two keys that go from entry to
 * entry, and plots that are folded on a phone and never on paper. The page says everything without it. Plain text of
 * the page is never read as markup here: only attributes and the order of elements change.
 */
export const pageScript = `
(() => {
  const plots = [...document.querySelectorAll('.over-time')];
  const phone = matchMedia('(max-width: ${phoneWidth})');
  const fold = () => { for (const plot of plots) plot.open = !phone.matches; };
  phone.addEventListener('change', fold);
  addEventListener('beforeprint', () => { for (const plot of plots) plot.open = true; });
  addEventListener('afterprint', fold);
  fold();

  const tools = document.querySelector('.tools');
  const show = document.getElementById('show');
  const order = document.getElementById('order');
  const said = document.getElementById('said');
  const lists = [...document.querySelectorAll('[data-list]')];
  if (!tools || !show || !order || !said) return;
  const items = (list) => [...list.querySelectorAll(':scope > [data-kinds]')];
  const place = (item) => Number(item.dataset.recording ?? item.dataset.series);
  const rank = (item, key) => (key === 'shot' ? -place(item) : Number(item.dataset[key]));
  const series = document.querySelectorAll('[data-series]').length;

  const arrange = () => {
    const kind = show.value;
    const shown = new Set();
    let shownSeries = 0;
    const all = Number(tools.dataset.total);
    const has = (kinds) => kind === '' || (kinds ?? '').split(' ').includes(kind);
    const counted = (some, total) => (kind === '' ? '' : some + ' of ') + total + ' ';
    for (const list of lists) {
      const sorted = items(list).sort((a, b) =>
        rank(b, order.value) - rank(a, order.value) || place(a) - place(b));
      for (const item of sorted) {
        const isMeant = has(item.dataset.kinds);
        item.hidden = !isMeant && !has(item.dataset.kindsOfSeries);
        if (isMeant && 'recording' in item.dataset) shown.add(item.dataset.recording);
        if (isMeant && 'series' in item.dataset) shownSeries += 1;
      }
      list.append(...sorted);
      list.closest('section').hidden = sorted.every((item) => item.hidden);
    }
    said.textContent = counted(shown.size, all) + (all === 1 ? 'recording' : 'recordings') +
      (series === 0 ? '' : ', ' + counted(shownSeries, series) + tools.dataset.seriesWord);
  };
  const entries = () => [...document.querySelectorAll('.entry')].filter((entry) => !entry.hidden);
  const go = (step) => {
    const all = entries();
    const here = document.activeElement && document.activeElement.closest('.entry');
    const target = all[Math.min(Math.max(all.indexOf(here) + step, 0), all.length - 1)];
    if (!target) return;
    target.focus({ preventScroll: true });
    target.scrollIntoView({ block: 'start' });
  };
  document.addEventListener('keydown', (event) => {
    const inEntries = event.target instanceof Element && event.target.closest('.entries, .jump');
    if (!inEntries || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === 'j' || event.key === 'k') {
      event.preventDefault();
      go(event.key === 'j' ? 1 : -1);
    }
  });
  document.addEventListener('click', ({ target }) => {
    const link = target instanceof Element && target.closest('a[href^="#"]');
    const linked = link && document.getElementById(link.hash.slice(1));
    if (!linked || !linked.closest('[hidden]')) return;
    show.value = '';
    arrange();
  });
  show.addEventListener('change', arrange);
  order.addEventListener('change', arrange);
  tools.hidden = false;
  arrange();
})();
`;
