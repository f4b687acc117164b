// Long lists a page at a time. What a page of a list must tell (which rows, of how many, the present page marked with aria-current) follows
// WAI-ARIA 1.2 (aria-current) and WCAG 2.2, success criterion 2.4.4 (links told apart by their own words).

import { expect, test } from 'vitest';
import { addressWith, askedOf, narrowingTo, pageOf, ROWS_A_PAGE } from '../../../server/pages/paging.ts';

const list = Array.from({ length: 412 }, (_, index) => index + 1);
const asked = (query: Record<string, unknown> = {}) => askedOf('/upgrades', query);
const paged = (query: Record<string, unknown> = {}, how = {}) =>
  pageOf(list, asked(query), { what: 'upgrades', ...how });

test('A list that fits on one page has no other', () => {
  expect(pageOf(list.slice(0, ROWS_A_PAGE), asked({ page: '3' }), { what: 'upgrades' })).toEqual({
    rows: list.slice(0, ROWS_A_PAGE),
    pages: null,
  });
});

test('Going on from page to page meets every row once and ends; going back does too', () => {
  for (const way of ['next', 'previous'] as const) {
    const met: number[] = [];
    let address: string | null = way === 'next' ? '/upgrades' : '/upgrades?page=9';
    for (let step = 0; address !== null; step++) {
      expect(step).toBeLessThan(20);
      const query: Record<string, string> = Object.fromEntries(new URLSearchParams(address.split('?')[1]));
      const shown: ReturnType<typeof pageOf<number>> = pageOf(list, askedOf('/upgrades', query), { what: 'upgrades' });
      met.push(...shown.rows);
      address = shown.pages![way];
    }
    expect(met.toSorted((a, b) => a - b)).toEqual(list);
  }
});

test('The page says which rows it shows of how many, marks itself, and names the first, the last and its neighbours', () => {
  const { rows, pages } = paged({ page: '5' });
  expect([rows[0], rows.at(-1)]).toEqual([201, 250]);
  expect(pages!.told).toBe('201 to 250 of 412 upgrades');
  expect(pages!.links.map((one) => `${one.gap ? '… ' : ''}${one.text}`).join(' ')).toBe('1 … 3 4 5 6 7 … 9');
  expect(pages!.links.filter((one) => one.current).map((one) => one.spoken)).toEqual(['Page 5 of 9']);
  expect([pages!.previous, pages!.next]).toEqual(['/upgrades?page=4', '/upgrades?page=6']);
  expect(paged({ page: '9' }).pages).toMatchObject({ told: '401 to 412 of 412 upgrades', next: null });
});

test('A page that there is not is the nearest there is', () => {
  const told = (page: unknown) => paged({ page }).pages!.told;
  expect([told('0'), told('-3'), told('1e9'), told('two'), told('2.5'), told(['4', '5']), told('')]).toEqual([
    '1 to 50 of 412 upgrades',
    '1 to 50 of 412 upgrades',
    '401 to 412 of 412 upgrades',
    '1 to 50 of 412 upgrades',
    '1 to 50 of 412 upgrades',
    '1 to 50 of 412 upgrades',
    '1 to 50 of 412 upgrades',
  ]);
});

test('The whole list is one link away, and so are its pages again', () => {
  expect(paged({ page: '2', enclosure: '7' }).pages!.whole).toEqual({
    text: 'Show all 412',
    href: '/upgrades?page=all&enclosure=7',
  });
  const { rows, pages } = paged({ page: 'all' });
  expect(rows).toEqual(list);
  expect(pages).toMatchObject({
    told: 'All 412 upgrades',
    links: [],
    paged: { text: 'Show 50 at a time', href: '/upgrades' },
  });
});

test('Two lists of one page turn their pages apart, and lead back to where they stand', () => {
  const { pages } = paged({ page: '2', fitted: '3', done: 'saved' }, { name: 'fitted', id: 'fitted', size: 10 });
  expect(pages!.next).toBe('/upgrades?page=2&fitted=4#fitted');
  expect(addressWith(asked({ page: '2', done: 'saved' }), { page: null })).toBe('/upgrades');
});

test('A list is narrowed to an enclosure there is, and says so with the way back; few need no form', () => {
  const boxes = ['Attic', 'Cellar', 'Hall', 'Shed'].map((name, index) => ({ id: String(index + 1), name }));
  const { enclosureId, narrowing } = narrowingTo(boxes, asked({ enclosure: '3', page: '2' }));
  expect(enclosureId).toBe('3');
  expect(narrowing!.options.filter((one) => one.selected).map((one) => one.label)).toEqual(['Hall']);
  expect(narrowing!.shown).toEqual({ text: 'Only “Hall” is shown.', action: 'Show all enclosures', href: '/upgrades' });
  expect(narrowingTo(boxes, asked({ enclosure: '9' }))).toMatchObject({
    enclosureId: null,
    narrowing: { shown: null },
  });
  expect(narrowingTo(boxes.slice(1), asked())).toEqual({ enclosureId: null, narrowing: null });
  expect(narrowingTo(boxes.slice(1), asked({ enclosure: '3' })).enclosureId).toBe('3');
});
