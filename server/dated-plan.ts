// What the ledger has a date for, as days of a calendar: what the latest plan would buy or do, what is on its way, what can go back until
// when, and what wears out. A purchase and a renewal keep their name in every later plan, so that reading the file again moves an entry and never doubles it.

import { budgetOf, renewalDates } from '../src/budget.ts';
import { addMonths, firstDay, monthOf, monthsBetween, type PlainDate, type PlainMonth } from '../src/calendar.ts';
import type { CalendarDay } from '../src/icalendar.ts';
import { formatMoney, type Money } from '../src/money.ts';
import type { RoadmapBuy } from '../src/roadmap.ts';
import { listEnclosures, listFittings } from './db/collection.ts';
import { ledgerIdentity, readLedger } from './db/ledger.ts';
import { readMoneyFacts } from './db/money.ts';
import type { Session } from './db/open.ts';
import { latestPlan } from './db/plans.ts';
import { listUpgrades } from './db/upgrades.ts';
import { calendarWords } from './export-words.ts';
import { readingNames } from './kind-words.ts';
import { roadmapSentences, whyNowSentence } from './plan-words.ts';
import { listed } from './words.ts';

/** How many months ahead what wears out is told, however short the plan is. */
export const MONTHS_OF_RENEWALS = 24;

/** Every dated thing as of a day, by date; none when there is no plan and nothing wears out. */
export function datedPlan(session: Session, today: PlainDate): CalendarDay[] {
  const identity = ledgerIdentity(session);
  const days = [
    ...plannedDays(session, identity),
    ...returnDays(session, identity, today),
    ...renewalDays(session, identity, today),
  ];
  return days.sort((a, b) => (a.on < b.on ? -1 : a.on > b.on ? 1 : a.uid < b.uid ? -1 : 1));
}

function plannedDays(session: Session, identity: string): CalendarDay[] {
  const plan = latestPlan(session);
  if (plan === null || plan.roadmap === null) return [];
  const { months, animals, currency } = plan.roadmap;
  const { locale } = readLedger(session);
  const status = new Map(listUpgrades(session).map((one) => [one.id, one.status]));
  const name = new Map(animals.map((one) => [one.animalId, one.name]));
  const amount = (sum: Money) => formatMoney(sum, currency, locale);
  const dayIn = (month: PlainMonth) => (month === monthOf(plan.madeOn) ? plan.madeOn : firstDay(month));
  const shared = { revision: Number(plan.id), stampedOn: plan.madeOn };
  const described = (buy: RoadmapBuy, month: PlainMonth) =>
    [
      calendarWords.purchase(
        buy.price === 0 ? null : amount(buy.price),
        listed(buy.animalIds.map((id) => name.get(id) ?? '')),
        month,
        locale,
      ),
      whyNowSentence(buy.whyNow),
      ...buy.readings.map((one) =>
        roadmapSentences.readFirst(
          one.readings.map((reading) => readingNames[reading]),
          one.enclosureName,
        ),
      ),
      calendarWords.planned(plan.madeOn, locale),
    ].join('\n');
  return months.flatMap(({ month, buys }) =>
    buys.flatMap((buy): CalendarDay[] => {
      const stands = status.get(buy.upgradeId);
      // What is fitted, refused or removed by now is no longer to be done; what renews an own thing is no upgrade.
      if (stands !== undefined && stands !== 'wanted' && stands !== 'ordered') return [];
      if (stands === undefined && /^\d+$/.test(buy.upgradeId)) return [];
      const description = described(buy, month);
      const arrival: CalendarDay = {
        ...shared,
        uid: `arrival-${buy.upgradeId}-${identity}`,
        on: dayIn(buy.arrives),
        summary: calendarWords.arrives(buy.name),
        description,
      };
      if (stands === 'ordered') return [arrival];
      const purchase: CalendarDay = {
        ...shared,
        uid: `purchase-${buy.upgradeId}-${identity}`,
        on: dayIn(month),
        summary: buy.price === 0 ? calendarWords.free(buy.name) : calendarWords.buy(buy.name, amount(buy.price)),
        description,
      };
      return buy.arrives === month ? [purchase] : [purchase, arrival];
    }),
  );
}

function returnDays(session: Session, identity: string, today: PlainDate): CalendarDay[] {
  return listUpgrades(session).flatMap(({ id, name, returnBy, version }): CalendarDay[] =>
    returnBy === null || returnBy < today
      ? []
      : [
          {
            uid: `return-${id}-${identity}`,
            revision: version,
            stampedOn: today,
            on: returnBy,
            summary: calendarWords.goesBack(name),
            description: calendarWords.goingBack,
          },
        ],
  );
}

function renewalDays(session: Session, identity: string, today: PlainDate): CalendarDay[] {
  const { currency, locale, horizonMonths } = readLedger(session);
  const enclosure = new Map(listEnclosures(session).map((one) => [one.id, one.name]));
  const firstMonth = monthOf(today);
  const until = firstDay(addMonths(firstMonth, Math.max(horizonMonths, MONTHS_OF_RENEWALS)));
  const facts = readMoneyFacts(session, today);
  const fitting = new Map(facts.fittings.map((one) => [one.id, one]));
  return budgetOf(facts, firstMonth, horizonMonths).renewals.flatMap((one): CalendarDay[] => {
    const { fittedOn, lifeMonths } = fitting.get(one.fittingId)!;
    const version = listFittings(session, Number(one.enclosureId)).find(({ id }) => id === one.fittingId)?.version ?? 1;
    const isOverdue = one.state === 'overdue';
    const dates = isOverdue ? [one.dueOn] : renewalDates(fittedOn, lifeMonths!, firstDay(firstMonth), until);
    return dates.map((on) => ({
      // Counted from when it was fitted: a date corrected later is still the same renewal.
      uid: `renewal-${one.fittingId}-${Math.round(monthsBetween(monthOf(fittedOn), monthOf(on)) / lifeMonths!)}-${identity}`,
      revision: version,
      stampedOn: today,
      on,
      summary: calendarWords.renew(one.name, isOverdue),
      description: calendarWords.renewal(
        enclosure.get(one.enclosureId) ?? '',
        one.price === null ? null : formatMoney(one.price, currency, locale),
      ),
    }));
  });
}
