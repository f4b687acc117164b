// The page of one kind of reading over time: drawn with the target band, the median and, from enough readings on, the limits, and as a table.

import type { FastifyInstance } from 'fastify';
import type { PlainDate } from '../../src/calendar.ts';
import { type ClockHours, formatClock, formatDate } from '../../src/calendar.ts';
import { READING_KINDS, type ReadingKind, setupOf } from '../../src/collection.ts';
import { bandsOf, type TargetBand } from '../../src/reading-round.ts';
import { type ChartPoint, FEWEST_FOR_LIMITS, type RunChart, runChartOf } from '../../src/run-chart.ts';
import { targetsOn } from '../../src/score.ts';
import { formatQuantity, type UnitSystem } from '../../src/units.ts';
import { type EnclosureRecord, findEnclosure } from '../db/collection.ts';
import type { Ledger } from '../db/ledger.ts';
import { readingDimensions, readingNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { lowerFirst } from '../words.ts';
import { found, idFrom, presentRow } from './asked-row.ts';
import { type Chart, readingsChart } from './chart.ts';
import { bandText } from './round.view.ts';

/** The target band of one animal that lives there. */
type NamedBand = { name: string; band: TargetBand };

export function runChartPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.enclosures.readings.of(':enclosure', ':kind'), (request, reply) => {
    const enclosure = presentRow(findEnclosure(db, idFrom(request.params, 'enclosure')));
    const kind = found(READING_KINDS.find((one) => one === (request.params as { kind?: string }).kind));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const setup = setupOf(scoring.collection, enclosure.id);
    const bands = setup.occupants.flatMap((animal): NamedBand[] => {
      const band = bandsOf(animal, targetsOn(animal, scoring), scoring.library.uvZones).get(kind);
      return band === undefined ? [] : [{ name: animal.name, band }];
    });
    const chart = runChartOf(setup, kind, today);
    const model = runChartPage({
      enclosure,
      kind,
      chart,
      bands,
      system: ledger.unitSystem,
      locale: ledger.locale,
      clockHours: ledger.clockHours,
    });
    return render(reply, 'run-chart', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.show(enclosure.id), label: enclosure.name },
    });
  });
}

type RunChartPage = {
  heading: string;
  lead: string | null;
  drawing: Chart | null;
  findings: string[];
  rows: { takenOn: string; value: string; instrument: string; remark: string; editHref: string }[];
  againHref: string;
};

function runChartPage({
  enclosure,
  kind,
  chart,
  bands,
  system,
  locale,
  clockHours,
}: {
  enclosure: EnclosureRecord;
  kind: ReadingKind;
  chart: RunChart;
  bands: readonly NamedBand[];
  system: UnitSystem;
  locale: string;
  clockHours: ClockHours;
}): RunChartPage {
  const amount = (value: number) => formatQuantity(value, readingDimensions[kind], system);
  const findings = findingsOf(chart, bands, kind, amount, system, locale);
  const { limits } = chart;
  return {
    heading: `${readingNames[kind]} over time`,
    lead: `In “${enclosure.name}”.`,
    drawing:
      chart.points.length === 0
        ? null
        : readingsChart({
            id: 'over-time',
            title: `${readingNames[kind]} over time`,
            description: findings.join(' '),
            caption: captionOf(chart, bands),
            dots: chart.points.map((one) => ({ on: one.reading.takenOn, value: one.value, kind: dotOf(one) })),
            bands: bands.map(({ band }) => band),
            levels: [
              ...(chart.median === null
                ? []
                : [
                    {
                      value: chart.median,
                      kind: 'chart-line-second' as const,
                      label: `median ${amount(chart.median)}`,
                    },
                  ]),
              ...(limits.status === 'too-few'
                ? []
                : [
                    { value: limits.low, kind: 'chart-line-limit' as const, label: `limit ${amount(limits.low)}` },
                    { value: limits.high, kind: 'chart-line-limit' as const, label: `limit ${amount(limits.high)}` },
                  ]),
            ],
            amount,
            locale,
          }),
    findings,
    rows: chart.points.toReversed().map((one) => ({
      takenOn: whenText(one, { locale, clockHours }),
      value: amount(one.value),
      instrument: one.reading.instrument === '' ? '–' : one.reading.instrument,
      remark: remarkOf(one, chart.since, locale),
      editHref: paths.enclosures.readings.edit(enclosure.id, one.reading.id),
    })),
    againHref: paths.enclosures.readings.newOf(enclosure.id, kind),
  };
}

function findingsOf(
  { points, since, median, longestRun, limits, leftOut }: RunChart,
  bands: readonly NamedBand[],
  kind: ReadingKind,
  amount: (value: number) => string,
  system: UnitSystem,
  locale: string,
): string[] {
  const counted = points.filter((one) => one.stage === 'present');
  const findings: string[] = [];
  if (points.length === 0) findings.push('Nothing was measured yet.');
  else if (counted.length === 0)
    findings.push(`Nothing was measured since ${formatDate(since, locale)}, when the set-up last changed for it.`);
  for (const { name, band } of bands) {
    const inside = counted.filter(
      ({ value }) => (band.low === null || value >= band.low) && (band.high === null || value <= band.high),
    );
    const share = counted.length === 0 ? '' : ` ${inside.length} of ${counted.length} readings that count lie in it.`;
    findings.push(`Target for ${name} today: ${bandText(kind, band, system)}.${share}`);
  }
  if (bands.length === 0) findings.push('No target of today asks for it.');
  if (median !== null)
    findings.push(`Median of the ${counted.length} since ${formatDate(since, locale)}: ${amount(median)}.`);
  if (longestRun?.isLong)
    findings.push(
      `${longestRun.length} readings in a row lie ${longestRun.side} the median; chance alone rarely brings more than ${longestRun.longerThan}. Something has shifted.`,
    );
  if (limits.status === 'too-few')
    findings.push(
      `No limits are drawn: that takes ${FEWEST_FOR_LIMITS} readings of an unchanged set-up, and there ${limits.have === 1 ? 'is 1' : `are ${limits.have}`}.`,
    );
  else {
    const [outside, steps] = [counted.filter((one) => one.outside).length, counted.filter((one) => one.step).length];
    findings.push(
      `Unchanged, it varies by itself between ${amount(limits.low)} and ${amount(limits.high)} (mean ± 2.660 times the mean step from reading to reading).`,
      outside + steps === 0
        ? 'No reading and no step between two stands out.'
        : `Outside these limits: ${outside}. Steps larger than is usual: ${steps}. Look for what was different then.`,
    );
  }
  if (leftOut > 0) findings.push(`${leftOut} estimated or unknown, not drawn.`);
  return findings;
}

function captionOf({ points, limits, median }: RunChart, bands: readonly NamedBand[]): string {
  const parts = [
    'Each dot is one measured reading.',
    bands.length === 0 ? '' : 'The hatched band is the target.',
    median === null ? '' : 'The broken line is the median.',
    limits.status === 'drawn' ? 'Dotted lines are the limits; a full dot stands out.' : '',
    points.some((one) => one.stage === 'earlier')
      ? 'Hollow grey dots were taken before the set-up last changed for it and do not count.'
      : '',
  ];
  return parts.filter((text) => text !== '').join(' ');
}

function dotOf({ stage, outside, step }: ChartPoint): 'chart-dot' | 'chart-dot-old' | 'chart-dot-marked' {
  if (stage === 'earlier') return 'chart-dot-old';
  return outside || step ? 'chart-dot-marked' : 'chart-dot';
}

function whenText({ reading }: ChartPoint, { locale, clockHours }: Pick<Ledger, 'locale' | 'clockHours'>): string {
  return `${formatDate(reading.takenOn, locale)}${reading.hour === null ? '' : `, ${formatClock(reading.hour * 60, clockHours)}`}`;
}

function remarkOf({ stage, outside, step }: ChartPoint, since: PlainDate, locale: string): string {
  if (stage === 'earlier') return `before ${formatDate(since, locale)}: does not count`;
  const parts = [outside ? 'outside the limits' : '', step ? 'a large step from the one before' : ''];
  return lowerFirst(parts.filter((text) => text !== '').join('; ')) || '–';
}
