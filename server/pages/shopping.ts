// The shopping list of the month: what the plan buys now with its measures and checks, what is on the way, and renewals that fall due.

import type { FastifyInstance } from 'fastify';
import { formatDate, formatMonth } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { formatMoney, money, sumMoney } from '../../src/money.ts';
import { type BuyingCaution, renewalLine, type ShoppingLine, shoppingLines } from '../../src/shopping.ts';
import { formatSize } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import type { Ledger } from '../db/ledger.ts';
import { needNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { arrivalSentences, buyingCautions, measureSentence, shoppingWords as words } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { listed, lowerFirst } from '../words.ts';
import { type MonthList, monthListOf } from './month-list.ts';
import { mostUrgentFirst } from './roadmap.view.ts';
import { placeWords } from './upgrades.view.ts';

/** What is asked and looked at for one line. */
type LineView = {
  name: string;
  /** What it costs and for which enclosures. */
  price: string;
  notes: string[];
  measures: string[];
  checks: string[];
  href: string | null;
};

/** What views/pages/shopping.hbs shows. */
type ShoppingPage = {
  heading: string;
  lead: string;
  stale: string | null;
  planHref: string;
  nothing: string | null;
  buys: LineView[];
  /** By what the lines are ordered, or null. */
  order: string | null;
  /** The most that all of it may cost, or null where no plan tells. */
  most: string | null;
  total: string | null;
  way: LineView[];
  cautions: string[];
  founded: string;
  monthHref: string;
};

export function shoppingPages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.shopping, (_request, reply) => {
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const model = shoppingPage(monthListOf(db, ledger, today), scoring.collection, ledger);
    return render(reply, 'shopping', model, {
      title: model.heading,
      current: 'home',
      back: { href: paths.thisMonth, label: words.back },
    });
  });
}

// What comes with a line besides the thing that it is called after, which a list of what belongs to it would name twice.
function besidesNamed({ name, things }: Pick<ShoppingLine, 'name' | 'things'>): string[] {
  const stem = (text: string) => text.split(', needs ')[0]!;
  const others = things.flatMap((one) => {
    const isNamed = things.length === 1 || stem(name).startsWith(stem(one.name));
    const count = isNamed ? one.count - 1 : one.count;
    return count === 0 ? [] : [count === 1 ? one.name : `${count} × ${one.name}`];
  });
  return others.length === 0 ? [] : [words.belongs(listed(others))];
}

function shoppingPage(list: MonthList, collection: Collection, ledger: Ledger): ShoppingPage {
  const { locale, currency, unitSystem: system } = ledger;
  const amount = (sum: number) => formatMoney(money(sum), currency, locale);
  const range = (low: number, high: number) => (low === high ? amount(high) : words.span(amount(low), amount(high)));
  // What ends a severe shortfall is paid first, should the money not reach for all.
  const open = mostUrgentFirst(list.open.map(({ buy }) => buy)).map((buy) => list.open.find((one) => one.buy === buy)!);
  const endingIn = (upgradeIds: readonly string[]) =>
    open.flatMap(({ buy, upgrade }) =>
      upgradeIds.includes(upgrade.id)
        ? [...buy.effects, ...(buy.alone ?? [])].flatMap(({ animalId, need, severe }) =>
            severe === 'ends'
              ? [
                  words.need(
                    lowerFirst(needNames[need]),
                    collection.animals.find(({ id }) => id === animalId)?.name ?? '',
                  ),
                ]
              : [],
          )
        : [],
    );
  const lines = shoppingLines(
    open.map(({ upgrade }) => upgrade),
    collection,
  );
  const endings = new Map(lines.map((line) => [line, [...new Set(endingIn(line.upgradeIds))]]));
  const ending = (line: ShoppingLine) => endings.get(line)!;
  const ordered = [...lines].sort((a, b) => Number(ending(b).length > 0) - Number(ending(a).length > 0));
  const view = (line: Omit<ShoppingLine, 'priceLow' | 'priceHigh'>, price: string, notes: string[]): LineView => ({
    name: `${line.count} × ${line.name}`,
    price: words.priceFor(price, listed(line.enclosureIds.map((id) => placeWords(id, collection)))),
    notes: [
      ...notes,
      ...line.boxes.map((one) => words.insideSize(formatSize(one.lengthMm, one.depthMm, one.heightMm, system))),
      ...besidesNamed(line),
    ],
    measures: line.measures.map((one) => measureSentence(one, system)),
    checks: line.checks.map((one) => arrivalSentences[one]),
    href: line.upgradeIds[0] === undefined ? null : paths.upgrades.show(line.upgradeIds[0]),
  });
  const renewals = list.renewals.flatMap((due) => {
    const fitting = collection.fittings.find((one) => one.id === due.fittingId);
    return fitting === undefined ? [] : [{ due, line: renewalLine({ fitting, price: due.price }, collection) }];
  });
  const coming = list.onTheWay.map((upgrade) => ({
    upgrade,
    // What is paid already is looked at all the same; a thing that cost nothing has its checks too.
    line: shoppingLines([{ ...upgrade, priceHigh: money(Math.max(1, upgrade.priceHigh)) }], collection)[0]!,
  }));
  const priced = renewals.map(({ due }) => due.price ?? money(0));
  const all = [...lines, ...renewals.map(({ line }) => line), ...coming.map(({ line }) => line)];
  const wanted = new Set(all.flatMap((one) => one.cautions));
  const buys = [
    ...ordered.map((line) =>
      view(line, range(line.priceLow, line.priceHigh), [
        ...(ending(line).length === 0 ? [] : [words.first(listed(ending(line)))]),
        ...(list.spare === null ? [] : [words.mostFor(amount(line.priceHigh + list.spare))]),
      ]),
    ),
    ...renewals.map(({ due, line }) =>
      view(line, due.price === null ? words.unpriced : amount(due.price), [
        words.renewal(formatDate(due.dueOn, locale), due.state === 'overdue'),
      ]),
    ),
  ];
  const low = sumMoney([...lines.map((one) => one.priceLow), ...priced]);
  const high = sumMoney([...lines.map((one) => one.priceHigh), ...priced]);
  return {
    heading: words.heading(formatMonth(list.month, locale)),
    lead: words.lead,
    stale: list.stale ? words.stale : null,
    planHref: paths.roadmap.show,
    nothing: buys.length > 0 ? null : list.planned ? words.nothingPlanned : words.noPlan,
    buys,
    order: ordered.some((line) => ending(line).length > 0) && ordered.length > 1 ? words.order : null,
    most: buys.length === 0 || list.spare === null ? null : words.most(amount(high + list.spare)),
    total:
      buys.length === 0
        ? null
        : `${words.total(amount(low), amount(high))}${renewals.some(({ due }) => due.price === null) ? ` ${words.perhapsMore}` : ''}`,
    way: coming.map(({ upgrade, line }) =>
      view({ ...line, measures: [] }, upgrade.paid === null ? '' : words.paid(amount(upgrade.paid)), [
        words.arrives(upgrade.arrivesMonth === null ? null : formatMonth(upgrade.arrivesMonth, locale)),
      ]),
    ),
    cautions: [
      ...(Object.keys(buyingCautions) as BuyingCaution[])
        .filter((one) => wanted.has(one))
        .map((one) => buyingCautions[one]),
      cautions.unknowable,
    ],
    founded: words.founded,
    monthHref: paths.thisMonth,
  };
}
