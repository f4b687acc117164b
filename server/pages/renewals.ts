// The page of everything with a life: what is overdue, what is due when over the next two years, and the reserve that would pay for it.

import type { FastifyInstance } from 'fastify';
import { budgetOf, renewalDates } from '../../src/budget.ts';
import type { PlainDate } from '../../src/calendar.ts';
import { addMonths, dateOfInstant, firstDay, formatDate, formatMonth, monthOf } from '../../src/calendar.ts';
import type { Collection } from '../../src/collection.ts';
import { isFitted, UV_LAMPS } from '../../src/collection.ts';
import { formatMoney, money, sumMoney } from '../../src/money.ts';
import { MONTHS_OF_RENEWALS } from '../dated-plan.ts';
import { loadCollection } from '../db/collection.ts';
import { readLedger } from '../db/ledger.ts';
import { readMoneyFacts } from '../db/money.ts';
import { monthSentences } from '../month-words.ts';
import type { Deps } from '../page.ts';
import { oldThingWords } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { priceOfNew } from './price-of-new.ts';

/** What views/pages/renewals.hbs shows. */
type RenewalsPage = {
  heading: string;
  lead: string;
  overdue: { name: string; place: string; due: string; renewedHref: string; placeHref: string }[];
  overdueNote: string;
  ahead: { name: string; place: string; dueOn: string; price: string; priceHref: string | null }[];
  months: { month: string; things: string; amount: string }[];
  reserve: { facts: { term: string; value: string }[]; note: string } | null;
  noLife: { name: string; href: string }[];
  none: string | null;
  moneyHref: string;
  replaced: { href: string; label: string };
};

export function renewalPages(app: FastifyInstance, { db, now, parts, render }: Deps): void {
  app.get(paths.renewals, (_request, reply) => {
    const ledger = readLedger(db);
    const today = dateOfInstant(now(), ledger.timeZone);
    const collection = loadCollection(db);
    const month = monthOf(today);
    const budget = budgetOf(readMoneyFacts(db, today), month, MONTHS_OF_RENEWALS);
    const { currency, locale } = ledger;
    const amount = (sum: number | null) => (sum === null ? 'unknown' : formatMoney(money(sum), currency, locale));
    const written = priceOfNew(db, parts, ledger);
    const day = (date: PlainDate) => formatDate(date, locale);
    const until = firstDay(addMonths(month, MONTHS_OF_RENEWALS));
    const overdue = budget.renewals.filter((one) => one.dueOn < today);
    const ahead = budget.renewals
      .filter((one) => one.dueOn >= today)
      .flatMap((one) => {
        const { fittedOn, lifeMonths } = collection.fittings.find((other) => other.id === one.fittingId)!;
        return renewalDates(fittedOn, lifeMonths!, today, until).map((dueOn) => ({ ...one, dueOn }));
      })
      .sort((a, b) => (a.dueOn < b.dueOn ? -1 : a.dueOn > b.dueOn ? 1 : 0));
    const months = [...new Set(ahead.map((one) => monthOf(one.dueOn)))];
    const { monthly, accrued } = budget.sinkingFund;
    const model: RenewalsPage = {
      heading: monthSentences.wearsOut,
      lead: `${monthSentences.wearsOutLead} ${monthSentences.stillLights}`,
      overdue: overdue
        .toSorted((a, b) => (a.dueOn < b.dueOn ? -1 : 1))
        .map((one) => ({
          name: one.name,
          place: placeOf(one.enclosureId, collection),
          due: monthSentences.dueSince(day(one.dueOn), written(one)),
          renewedHref: paths.enclosures.fittings.renewed(one.enclosureId, one.fittingId),
          placeHref: paths.enclosures.show(one.enclosureId),
        })),
      overdueNote: monthSentences.overdueEstimate,
      ahead: ahead.map((one) => ({
        name: one.name,
        place: placeOf(one.enclosureId, collection),
        dueOn: day(one.dueOn),
        price: written(one),
        priceHref: one.price === null ? paths.enclosures.fittings.edit(one.enclosureId, one.fittingId) : null,
      })),
      months: months.map((one) => {
        const due = ahead.filter((other) => monthOf(other.dueOn) === one);
        const unpriced = due.filter((other) => other.price === null).length;
        const sum = amount(sumMoney(due.map((other) => other.price ?? 0)));
        return {
          month: formatMonth(one, locale),
          things: due.map((other) => other.name).join(', '),
          amount: unpriced === 0 ? sum : monthSentences.andUnpriced(sum, unpriced),
        };
      }),
      reserve:
        monthly === 0
          ? null
          : {
              facts: [
                { term: monthSentences.monthlyShare, value: amount(monthly) },
                { term: monthSentences.accrued, value: amount(accrued) },
              ],
              note: monthSentences.reserve,
            },
      noLife: collection.fittings
        .filter((one) => UV_LAMPS.has(one.kind) && one.lifeMonths === null && isFitted(one, today))
        .map((one) => ({ name: one.name, href: paths.enclosures.fittings.edit(one.enclosureId, one.id) })),
      none: budget.renewals.length > 0 ? null : monthSentences.nothingDue,
      moneyHref: paths.money,
      replaced: { href: paths.oldThings.list, label: oldThingWords.list.heading },
    };
    return render(reply, 'renewals', model, { title: model.heading, current: 'money' });
  });
}

function placeOf(enclosureId: string, { enclosures }: Collection): string {
  return enclosures.find((one) => one.id === enclosureId)?.name ?? 'an enclosure that was removed';
}
