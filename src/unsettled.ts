// Which readings are not known well enough for what hangs on them, what they would be if all is in order or at fault, and how much a
// reading would narrow the scores. It asks the score itself, so it knows no target and no value function.

import type { Animal, Collection, ReadingKind } from './collection.ts';
import { bareReading, READING_KINDS } from './collection.ts';
import type { Reason } from './judging.ts';
import type { LedgerFacts } from './ledger-problem.ts';
import { buildProblem } from './ledger-problem.ts';
import type { Currency, Money } from './money.ts';
import type { Part, PartsList } from './parts.ts';
import type { Scoring } from './score.ts';
import { needScorer, scoreAnimal } from './score.ts';
import type { Need } from './species.ts';
import type { Unsettled } from './worth-of-measuring.ts';

/**
 * A reading that is unknown or too old or vague, with what hangs on it. `fine` and `faulty` are readings in kept units: the one that
 * loses nothing, and the nearest to it at which a need has lost nine tenths of all it can lose by this reading. `narrows`: by how many
 * points the range of each animal's score would shrink, the mean of both cases; below 0 it would grow.
 */
export type UnsettledReading = {
  enclosureId: string;
  kind: ReadingKind;
  fine: number;
  faulty: number;
  narrows: { animalId: string; points: number }[];
};

// At a fault nine tenths of what can be lost is lost: as in the worked example of the scoring model, where a bad lamp is worth 10 of 100.
const LOST_AT_FAULT = 0.9;

// The readings that are tried, in kept units, over all that can be met in an enclosure; an instrument tells no finer than these steps.
const TRIED: Record<'temperature' | 'uvi' | 'humidity' | 'depth', readonly number[]> = {
  temperature: steps(0, 60, 1),
  uvi: [...steps(0, 2, 0.1), ...steps(2.25, 12, 0.25)],
  humidity: steps(0, 100, 4),
  depth: steps(0, 800, 20),
};

function steps(from: number, to: number, step: number): number[] {
  return Array.from({ length: Math.round((to - from) / step) + 1 }, (_, index) => from + index * step);
}

/** What the meter for a kind of reading costs, the high end as a plan pays it; absent where no price is known or none is needed. */
export type MeterPrices = Partial<Record<ReadingKind, Money>>;

// Which part of the catalogue takes which reading; depth is read with any ruler.
const METER_OF: Readonly<Partial<Record<ReadingKind, string>>> = {
  'hot-spot-surface': 'thermometer-surface',
  'warm-hide-floor': 'thermometer-probe',
  'warm-air': 'thermometer-probe',
  'cool-end-air': 'thermometer-probe',
  'night-air': 'thermometer-probe',
  water: 'thermometer-probe',
  'uvi-basking': 'uv-meter',
  'uvi-lowest': 'uv-meter',
  'humidity-day': 'hygrometer-digital',
  'humidity-night': 'hygrometer-digital',
  'humidity-retreat': 'hygrometer-digital',
};

/** The part of a list that takes a kind of reading; null when none does or none is needed. */
export function meterFor({ parts }: PartsList, kind: ReadingKind): Part | null {
  return parts.find(({ id }) => id === METER_OF[kind]) ?? null;
}

/** What the meters of a parts list cost in a ledger's currency; nothing when the list has another currency. */
export function meterPricesIn(list: PartsList, currency: Currency): MeterPrices {
  if (list.currency !== currency.code) return {};
  return Object.fromEntries(
    READING_KINDS.flatMap((kind) => {
      const part = meterFor(list, kind);
      return part === null ? [] : [[kind, part.priceHigh]];
    }),
  );
}

type Asked = { enclosureId: string; kind: ReadingKind; needs: Set<Need> };

/** The collection as if a reading had been taken on the day judged, by an instrument without error. */
export function withReading(collection: Collection, scoring: Pick<Scoring, 'on'>, asked: AskedReading): Collection {
  const { enclosureId, kind, value } = asked;
  const reading = bareReading(`asked-${enclosureId}-${kind}`, enclosureId, kind, value, scoring.on);
  return { ...collection, readings: [...collection.readings, { ...reading, accuracy: 0 }] };
}

/** A reading that is supposed to have been taken, in kept units. */
export type AskedReading = { enclosureId: string; kind: ReadingKind; value: number };

/**
 * The readings that would narrow the scores of some animals, all of the collection when not given, the one that narrows most first. An
 * animal without an enclosure has none.
 */
export function unsettledReadings(
  scoring: Scoring,
  animals: readonly Animal[] = scoring.collection.animals,
): UnsettledReading[] {
  const found = new Map<string, Asked>();
  for (const animal of animals) {
    const { enclosureId } = animal;
    if (enclosureId === null) continue;
    for (const { need, reasons } of scoreAnimal(animal, scoring)?.needs ?? []) {
      for (const { reason } of reasons) {
        const kind = kindOf(reason);
        if (kind === null) continue;
        const key = `${enclosureId} ${kind}`;
        const asked = found.get(key) ?? { enclosureId, kind, needs: new Set<Need>() };
        found.set(key, { ...asked, needs: asked.needs.add(need) });
      }
    }
  }
  return [...found.values()].flatMap((one) => settle(scoring, one) ?? []).sort((a, b) => narrowing(b) - narrowing(a));
}

/** By how many points the ranges of all scores together would shrink. */
export function narrowing({ narrows }: Pick<UnsettledReading, 'narrows'>): number {
  return narrows.reduce((sum, { points }) => sum + points, 0);
}

/** The two planning problems between which a reading would decide; null when they cannot be compared, since they offer other purchases. */
export function casesOf(facts: LedgerFacts, { enclosureId, kind, faulty, fine }: UnsettledReading): Unsettled | null {
  const problemWith = (value: number) =>
    buildProblem({
      ...facts,
      collection: withReading(facts.collection, { on: facts.planDate }, { enclosureId, kind, value }),
    }).problem;
  const cases = { faulty: problemWith(faulty), fine: problemWith(fine) };
  const offers = ({ purchases }: { purchases: readonly { id: string }[] }) => purchases.map(({ id }) => id).join(' ');
  return offers(cases.faulty) === offers(cases.fine) ? cases : null;
}

function kindOf(reason: Reason): ReadingKind | null {
  return reason.why === 'unknown-reading' || reason.why === 'uncertain-reading' ? reason.kind : null;
}

function settle(scoring: Scoring, { enclosureId, kind, needs }: Asked): UnsettledReading | null {
  const animals = scoring.collection.animals.filter((one) => one.enclosureId === enclosureId);
  const scoringAt = (value: number): Scoring => ({
    ...scoring,
    collection: withReading(scoring.collection, scoring, { enclosureId, kind, value }),
  });
  // What each need that hangs on the reading is worth to each animal, by the readings tried.
  const rows = TRIED[scaleOf(kind)].map((value) => {
    const at = scoringAt(value);
    const worths = animals.flatMap((animal) => {
      const scoreOf = needScorer(animal, at);
      return [...needs].map((need) => {
        const outcome = scoreOf?.(need);
        return outcome?.status === 'scored' ? outcome.score.value : 100;
      });
    });
    return { value, worths, sum: worths.reduce((sum, one) => sum + one, 0) };
  });
  const most = Math.max(...rows.map(({ sum }) => sum));
  if (most - Math.min(...rows.map(({ sum }) => sum)) < 1e-6) return null;
  // The middle of all that loses nothing, so that a reading a little beside it loses nothing either.
  const whole = rows.filter(({ sum }) => sum > most - 1e-6);
  const fine = whole[Math.floor((whole.length - 1) / 2)]!.value;
  const ends = rows[0]!.worths.map((_, column) => {
    const worths = rows.map((row) => row.worths[column]!);
    return { most: Math.max(...worths), least: Math.min(...worths) };
  });
  const isFault = ({ worths }: { worths: number[] }) =>
    ends.some(({ most, least }, column) => most - worths[column]! >= LOST_AT_FAULT * (most - least) && most > least);
  const faulty = rows
    .filter(isFault)
    .reduce((a, b) => (Math.abs(b.value - fine) < Math.abs(a.value - fine) ? b : a)).value;
  const widths = (at: Scoring) =>
    animals.map((animal) => {
      const { low, high } = scoreAnimal(animal, at)!;
      return high - low;
    });
  const [now, better, worse] = [widths(scoring), widths(scoringAt(fine)), widths(scoringAt(faulty))];
  const narrows = animals.map(({ id }, index) => ({
    animalId: id,
    points: now[index]! - (better[index]! + worse[index]!) / 2,
  }));
  return { enclosureId, kind, fine, faulty, narrows };
}

function scaleOf(kind: ReadingKind): keyof typeof TRIED {
  if (kind.startsWith('uvi')) return 'uvi';
  if (kind.startsWith('humidity')) return 'humidity';
  return kind === 'water-depth' ? 'depth' : 'temperature';
}
