// The page of progress: what became of each animal's score over the closed months and until today, which severe shortfalls ended, what the
// money went into, and what upgrades promised beside what was measured.

import type { FastifyInstance } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import { formatDate, formatMonth, formatShortDate } from '../../src/calendar.ts';
import { formatMoney, money } from '../../src/money.ts';
import type { KeptEvent, KeptScore } from '../../src/month-review.ts';
import { spreadOf } from '../../src/month-review.ts';
import { deliveriesOf } from '../../src/promises.ts';
import type { Need } from '../../src/species.ts';
import { NEEDS } from '../../src/species.ts';
import { formatQuantity } from '../../src/units.ts';
import { listEvents } from '../db/events.ts';
import type { Ledger } from '../db/ledger.ts';
import { type ClosedMonth, listClosedMonths } from '../db/months.ts';
import { listOldThings } from '../db/old-things.ts';
import type { Session } from '../db/open.ts';
import { listPredictions } from '../db/predictions.ts';
import { listUpgrades } from '../db/upgrades.ts';
import { deliveryWords, differenceWords } from '../fitting-words.ts';
import { needNames, readingDimensions, readingNames } from '../kind-words.ts';
import { differencePoints, eventNames, pointsWords } from '../month-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring, scoreCollection } from '../scores.ts';
import { lowerFirst } from '../words.ts';
import { type Chart, progressChart } from './chart.ts';
import { sparedSentences } from './old-things.ts';

/** What views/pages/welfare-progress.hbs shows. */
type ProgressPage = {
  heading: string;
  lead: string;
  empty: { heading: string; text: string; href: string; action: string } | null;
  all: {
    chart: Chart | null;
    rows: {
      when: string;
      least: string;
      median: string;
      mean: string;
      planned: string;
      actual: string;
      difference: string;
    }[];
  } | null;
  animals: {
    name: string;
    href: string | null;
    change: string;
    chart: Chart | null;
    tableId: string;
    caption: string;
    rows: { when: string; score: string; range: string; severe: string }[];
  }[];
  events: { number: string; on: string; what: string }[];
  ended: string[];
  /** What replaced things spared, in sentences; null without any. */
  spared: string[] | null;
  spent: { rows: { animal: string; need: string; amount: string }[]; total: string } | null;
  promises: { what: string; upgrade: string; promised: string; measured: string; difference: string; state: string }[];
  monthsHref: string;
};

/** The scores of one day: a closed month's last, or today. */
type Day = { on: PlainDate; when: string; scores: KeptScore[]; closed: ClosedMonth | null };

export function progressPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.progress, (_request, reply) => {
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { locale, currency, unitSystem } = ledger;
    const { collection } = scoring;
    const months = listClosedMonths(db);
    const present: KeptScore[] = scoreCollection(scoring).scored.map(({ animal, score }) => ({
      animalId: animal.id,
      name: animal.name,
      score: score.score,
      low: score.low,
      high: score.high,
      worst: null,
      severe: score.needs.filter((one) => one.severe).map((one) => one.need),
    }));
    const days: Day[] = [
      ...months.map((closed) => ({
        on: closed.record.judgedOn,
        when: formatMonth(closed.month, locale),
        scores: closed.record.scores,
        closed,
      })),
      // Today stands apart unless it is the last day of a month that was closed just now.
      ...(months.at(-1)?.record.judgedOn === today
        ? []
        : [{ on: today, when: 'Today', scores: present, closed: null }]),
    ];
    const events = eventsOf(db, months);
    const names = new Map(days.flatMap((day) => day.scores.map((one) => [one.animalId, one.name] as const)));
    const model: ProgressPage = {
      heading: 'Progress',
      lead: 'The score of each animal on the last day of each closed month and today. It judges what the enclosure offers, not how the animal feels.',
      empty:
        months.length > 0
          ? null
          : {
              heading: 'No month is closed yet',
              text: 'Once a month is closed, its scores stay here as they were, so that later ones can be held against them.',
              href: paths.months.list,
              action: 'Months',
            },
      all: months.length === 0 ? null : allOf(days, events, locale),
      animals:
        months.length === 0
          ? []
          : [...names].map(([id, name]) =>
              animalOf(
                id,
                name,
                days,
                events,
                ledger,
                collection.animals.some((one) => one.id === id),
              ),
            ),
      events:
        months.length === 0
          ? []
          : events.map((one, index) => ({
              number: String(index + 1),
              on: formatShortDate(one.on, locale),
              what: one.name === '' ? one.what : `${one.what}: ${one.name}`,
            })),
      ended: endedOf(days),
      spared: sparedSentences(listOldThings(db), ledger),
      spent: spentOf(months, (sum) => formatMoney(money(sum), currency, locale)),
      promises: deliveriesOf(listPredictions(db), collection).map((one) => {
        const { promised } = one;
        const write = (value: number) => formatQuantity(value, readingDimensions[promised.kind], unitSystem);
        const upgrade = listUpgrades(db).find((other) => other.id === promised.upgradeId);
        return {
          what: `${readingNames[promised.kind]}, “${collection.enclosures.find((box) => box.id === promised.enclosureId)?.name ?? ''}”`,
          upgrade: upgrade?.name ?? 'removed since',
          promised: `${write(promised.predicted)} ${differenceWords(promised.error, promised.kind, unitSystem, false)}`,
          measured: one.status === 'read' ? `${write(one.measured)} on ${formatShortDate(one.takenOn, locale)}` : '–',
          difference: one.status === 'read' ? differenceWords(one.difference, promised.kind, unitSystem, true) : '–',
          state: deliveryWords(one, (date) => formatDate(date, locale)),
        };
      }),
      monthsHref: paths.months.list,
    };
    return render(reply, 'welfare-progress', model, { title: model.heading, current: 'animals' });
  });
}

function allOf(days: readonly Day[], events: readonly KeptEvent[], locale: string): ProgressPage['all'] {
  const spreads = days.map((day) => spreadOf(day.scores.map((one) => one.score)));
  const known = days.flatMap((day, index) => (spreads[index] === null ? [] : [{ day, spread: spreads[index]! }]));
  const write = (value: number | undefined) => (value === undefined ? '–' : String(Math.round(value)));
  const [first, last] = [known[0], known.at(-1)];
  return {
    chart:
      known.length < 2
        ? null
        : progressChart({
            id: 'all-progress',
            title: 'All animals: the least and the middle score',
            description: `The least score went from ${write(first!.spread.least)} to ${write(last!.spread.least)}, the middle one from ${write(first!.spread.median)} to ${write(last!.spread.median)}.`,
            caption:
              'Drawn through: the least score. Broken: the middle one. Numbers along the top are events of the list below.',
            days: known.map((one) => one.day.on),
            score: { values: known.map((one) => one.spread.least), label: `least ${write(last!.spread.least)}` },
            range: null,
            other: { values: known.map((one) => one.spread.median), label: `middle ${write(last!.spread.median)}` },
            events: events.map(({ on }, index) => ({ on, number: index + 1 })),
            locale,
          }),
    rows: days.map(({ when, closed }, index) => {
      const welfare = closed?.record.welfare ?? null;
      const spread = spreads[index];
      return {
        when,
        least: write(spread?.least),
        median: write(spread?.median),
        mean: write(spread?.mean),
        planned: welfare === null ? '–' : pointsWords(welfare.planned),
        actual: welfare === null ? '–' : pointsWords(welfare.actual),
        difference: welfare === null ? '–' : differencePoints(welfare.actual - welfare.planned),
      };
    }),
  };
}

function animalOf(
  id: string,
  name: string,
  days: readonly Day[],
  events: readonly KeptEvent[],
  { locale }: Ledger,
  isThere: boolean,
): ProgressPage['animals'][number] {
  const found = days.flatMap(({ on, when, scores }) => {
    const score = scores.find((one) => one.animalId === id);
    return score === undefined ? [] : [{ on, when, score }];
  });
  const [first, last] = [found[0]!, found.at(-1)!];
  const round = (value: number) => Math.round(value);
  const change =
    found.length < 2
      ? `${round(last.score.score)} so far.`
      : `From ${round(first.score.score)} in ${first.when} to ${round(last.score.score)} ${last.when === 'Today' ? 'today' : `in ${last.when}`}.`;
  return {
    name,
    href: isThere ? paths.animals.show(id) : null,
    change,
    chart:
      found.length < 2
        ? null
        : progressChart({
            id: `progress-${id}`,
            title: `${name}: the score and how far it may lie off`,
            description: `${change} Today’s or the last score may lie from ${round(last.score.low)} to ${round(last.score.high)}.`,
            caption: 'Drawn through: the score. Hatched: where it may lie.',
            days: found.map((one) => one.on),
            score: { values: found.map((one) => one.score.score), label: `score ${round(last.score.score)}` },
            range: {
              high: { values: found.map((one) => one.score.high), label: `at most ${round(last.score.high)}` },
              low: { values: found.map((one) => one.score.low), label: `at least ${round(last.score.low)}` },
            },
            other: null,
            events: events.map(({ on }, index) => ({ on, number: index + 1 })),
            locale,
          }),
    tableId: `progress-table-${id}`,
    caption: `Scores of ${name}`,
    rows: found.map(({ when, score }) => ({
      when,
      score: String(round(score.score)),
      range: `${round(score.low)} to ${round(score.high)}`,
      severe: score.severe.length === 0 ? 'none' : score.severe.map((need) => lowerFirst(needNames[need])).join(', '),
    })),
  };
}

// Of the closed months as they were kept, and of what happened since the last of them; counts of cash change no score.
function eventsOf(session: Session, months: readonly ClosedMonth[]): KeptEvent[] {
  const last = months.at(-1)?.record.judgedOn ?? null;
  const upgrades = listUpgrades(session);
  const since = listEvents(session)
    .filter((one) => last === null || one.happenedOn > last)
    .filter((one) => one.what === 'fitted' || one.what === 'renewed' || one.what === 'broke')
    .map(({ happenedOn, what, upgradeId, amount, note }) => ({
      on: happenedOn,
      what: eventNames[what],
      name: what === 'fitted' ? (upgrades.find((one) => one.id === upgradeId)?.name ?? '') : note,
      amount,
    }));
  const shown: readonly string[] = [eventNames.fitted, eventNames.renewed, eventNames.broke, eventNames.failed];
  return [...months.flatMap((one) => one.record.events).filter((one) => shown.includes(one.what)), ...since];
}

function endedOf(days: readonly Day[]): string[] {
  return days.slice(1).flatMap((day, index) => {
    const before = days[index]!;
    return before.scores.flatMap((then) => {
      const score = day.scores.find((one) => one.animalId === then.animalId);
      if (score === undefined) return [];
      return then.severe
        .filter((need) => !score.severe.includes(need))
        .map(
          (need) =>
            `${needNames[need]} of ${then.name} is no longer severely short ${day.closed === null ? 'today' : `at the end of ${day.when}`}.`,
        );
    });
  });
}

function spentOf(months: readonly ClosedMonth[], amount: (sum: number) => string): ProgressPage['spent'] {
  const sums = new Map<string, { animal: string; need: Need | null; sum: number }>();
  for (const { record } of months) {
    for (const { animal, need, amount: sum } of record.bought.flatMap((one) => one.purposes)) {
      const key = `${animal}\n${need ?? ''}`;
      const before = sums.get(key) ?? { animal, need, sum: 0 };
      sums.set(key, { ...before, sum: before.sum + sum });
    }
  }
  const rows = [...sums.values()].filter((one) => one.sum !== 0);
  if (rows.length === 0) return null;
  const place = (need: Need | null) => (need === null ? NEEDS.length : NEEDS.indexOf(need));
  rows.sort((a, b) => a.animal.localeCompare(b.animal) || place(a.need) - place(b.need));
  return {
    rows: rows.map(({ animal, need, sum }) => ({
      animal: animal === '' ? 'Nobody in particular' : animal,
      need: need === null ? 'not told by the plan' : needNames[need],
      amount: amount(sum),
    })),
    total: amount(rows.reduce((all, one) => all + one.sum, 0)),
  };
}
