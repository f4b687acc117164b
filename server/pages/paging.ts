// How a long list is shown: a page of rows at a time, narrowed to one enclosure where it is asked for. What is asked for stands in the
// address alone, so that it works without a script, can be kept as a bookmark and goes along with every link of the list.

/** How many rows stand on one page of a list. */
export const ROWS_A_PAGE = 50;

/** Pages on each side of the present one that are named; the first and the last always are. */
const NEIGHBOURS = 2;

const WHOLE = 'all';

/** Where a list is shown and what its address asks for. */
export type Asked = { path: string; query: URLSearchParams };

/** What views/partials/pages.hbs lays out: which rows these are, and the way to the others. */
export type PagesView = {
  told: string;
  label: string;
  /** `gap` tells that pages before it are not named. */
  links: { text: string; spoken: string; href: string; current: boolean; gap: boolean }[];
  previous: string | null;
  next: string | null;
  /** The whole list on one page, such as for printing; null where it is shown so, and then `paged` leads back. */
  whole: { text: string; href: string } | null;
  paged: { text: string; href: string } | null;
};

/** What the query of a request at a path asks of lists; what is asked for twice or is no text is not asked for. */
export function askedOf(path: string, query: unknown): Asked {
  const texts = Object.entries(query as Record<string, unknown>).filter(([, value]) => typeof value === 'string');
  return { path, query: new URLSearchParams(texts as [string, string][]) };
}

/** An address with other parameters, everything else asked for as it was; null takes one out. */
export function addressWith({ path, query }: Asked, changes: Readonly<Record<string, string | null>>): string {
  const changed = new URLSearchParams(query);
  // A notice says what was done just now, and is not to be said again.
  changed.delete('done');
  for (const [name, value] of Object.entries(changes)) {
    if (value === null) changed.delete(name);
    else changed.set(name, value);
  }
  const text = changed.toString();
  return text === '' ? path : `${path}?${text}`;
}

/**
 * The rows of the page asked for, and the way to the others; no way where all stand on one page. `what` names the rows in the plural; `name`
 * is the parameter of this list, `id` where the list stands in its page. A page that there is not gives the nearest there is.
 */
export function pageOf<Row>(
  all: readonly Row[],
  asked: Asked,
  { what, name = 'page', id = '', size = ROWS_A_PAGE }: { what: string; name?: string; id?: string; size?: number },
): { rows: Row[]; pages: PagesView | null } {
  if (all.length <= size) return { rows: [...all], pages: null };
  const hash = id === '' ? '' : `#${id}`;
  const to = (page: string | null) => addressWith(asked, { [name]: page }) + hash;
  const number = (count: number) => String(count);
  const count = Math.ceil(all.length / size);
  const label = `Pages of ${what}`;
  if (asked.query.get(name) === WHOLE) {
    const paged = { text: `Show ${size} at a time`, href: to(null) };
    const told = `All ${number(all.length)} ${what}`;
    return { rows: [...all], pages: { told, label, links: [], previous: null, next: null, whole: null, paged } };
  }
  const wanted = Number(asked.query.get(name) ?? '1');
  const page = Number.isInteger(wanted) ? Math.min(count, Math.max(1, wanted)) : 1;
  const [from, until] = [(page - 1) * size, Math.min(all.length, page * size)];
  const near = Array.from({ length: count }, (_, index) => index + 1).filter(
    (one) => one === 1 || one === count || Math.abs(one - page) <= NEIGHBOURS,
  );
  const address = (one: number) => to(one === 1 ? null : String(one));
  return {
    rows: all.slice(from, until),
    pages: {
      told: `${number(from + 1)} to ${number(until)} of ${number(all.length)} ${what}`,
      label,
      links: near.map((one, place) => ({
        text: number(one),
        spoken: `Page ${number(one)} of ${number(count)}`,
        href: address(one),
        current: one === page,
        gap: place > 0 && one > near[place - 1]! + 1,
      })),
      previous: page === 1 ? null : address(page - 1),
      next: page === count ? null : address(page + 1),
      whole: { text: `Show all ${number(all.length)}`, href: to(WHOLE) },
      paged: null,
    },
  };
}

/** What views/partials/narrowing.hbs lays out: a form that narrows lists to one of some choices. */
export type Narrowing = {
  action: string;
  name: string;
  label: string;
  options: { value: string; label: string; selected: boolean }[];
  submit: string;
  /** Which one is shown alone and the way back to all, or null. */
  shown: { text: string; action: string; href: string } | null;
};

/** A form that narrows lists by enclosure, with the one that is asked for; null where there are too few to choose among. */
export function narrowingTo(
  enclosures: readonly { id: string; name: string }[],
  { path, query }: Asked,
  least = 4,
): { enclosureId: string | null; narrowing: Narrowing | null } {
  const asked = query.get('enclosure');
  const chosen = enclosures.find(({ id }) => id === asked) ?? null;
  if (chosen === null && enclosures.length < least) return { enclosureId: null, narrowing: null };
  return {
    enclosureId: chosen?.id ?? null,
    narrowing: {
      action: path,
      name: 'enclosure',
      label: 'Enclosure',
      options: [
        { value: '', label: 'All enclosures', selected: chosen === null },
        ...enclosures.map(({ id, name }) => ({ value: id, label: name, selected: id === chosen?.id })),
      ],
      submit: 'Show only these',
      shown:
        chosen === null ? null : { text: `Only “${chosen.name}” is shown.`, action: 'Show all enclosures', href: path },
    },
  };
}
