// The scores of a whole ledger: who is worst off, and what should be measured before money is spent. Gathers what scoring takes; what a
// set-up is worth is the score's own business.

import type { PlainDate } from '../src/calendar.ts';
import { dateOfInstant } from '../src/calendar.ts';
import type { Animal, Check, Collection, Enclosure, ReadingKind } from '../src/collection.ts';
import { aroundEnclosures, isBroken, isFitted } from '../src/collection.ts';
import type { AnimalScore, Scoring, ValueChoices } from '../src/score.ts';
import { DEFAULT_CHOICES, scoreAnimal } from '../src/score.ts';
import { type CareLibrary, judgedBy } from '../src/species.ts';
import { loadCollection } from './db/collection.ts';
import { type Ledger, readLedger } from './db/ledger.ts';
import type { Session } from './db/open.ts';
import { frozen, oncePer, whileSame } from './db/unchanged.ts';

/** Something unknown that a look or a reading would settle, in one enclosure; `lifeCritical` when a need that threatens life hangs on it. */
export type MeasureFirst = {
  enclosureId: string;
  animalIds: string[];
  lifeCritical: boolean;
} & (
  | {
      measure: 'reading';
      kind: ReadingKind;
      cause: 'never-read' | 'box-changed' | 'thing-changed' | 'said-unknown' | 'awaited';
    }
  | { measure: 'check'; check: Check }
  | { measure: 'length' }
  | { measure: 'sexes' }
  | { measure: 'heater' }
  | { measure: 'thermostat'; heater: string }
  /** A thermostat in use of a heater that is not: what it holds now nobody said. */
  | { measure: 'holds'; thermostat: string; fittingId: string; heater: string }
  | { measure: 'uv-hours' }
  | { measure: 'between'; lamp: string }
);

/** All animals scored, worst off first, those that live nowhere apart, and what to measure first, the life-critical before the rest. */
export type CollectionScores = {
  scored: { animal: Animal; score: AnimalScore }[];
  homeless: Animal[];
  measureFirst: MeasureFirst[];
};

/** The keeper's own value choices, by which every page and every plan judges; where values lie in their range is no choice of theirs. */
export function valueChoicesOf({
  needWeights: weights,
  allowances,
  priority,
  ruleSets,
}: Pick<Ledger, 'needWeights' | 'allowances' | 'priority' | 'ruleSets'>): ValueChoices {
  return { weights, allowances, alpha: DEFAULT_CHOICES.alpha, priority, ruleSets };
}

type Gathered = { ledger: Ledger; today: PlainDate; scoring: Scoring };

// As long as the ledger stands as it is and the day is the same, pages get one and the same scoring, and what was found from it is found once.
const gatheredOf = new WeakMap<Collection, Gathered>();

/**
 * Everything that scoring takes, as the ledger stands at a moment: today is the day in the ledger's own time zone. Animals whose species the
 * library does not hold any more stand apart in the collection.
 */
export function gatherScoring(session: Session, library: CareLibrary, now: Date): Gathered {
  const ledger = readLedger(session);
  const today = dateOfInstant(now, ledger.timeZone);
  const collection = loadCollection(session);
  const before = gatheredOf.get(collection);
  if (before?.ledger === ledger && before.today === today && before.scoring.library === library) return before;
  const scoring = {
    collection: judgedBy(library, collection),
    library,
    choices: valueChoicesOf(ledger),
    on: today,
    knownOn: today,
  };
  const gathered = frozen({ ledger, today, scoring });
  gatheredOf.set(collection, gathered);
  return gathered;
}

/**
 * All that what is found of a part of a collection hangs on besides the part's own kind of work, for `whileSame`: how it is judged, and every
 * row of the part.
 */
export function judgedFrom({ collection: _, library, ...how }: Scoring, part: Collection): unknown[] {
  const { animals, enclosures, fittings, readings, answers, unjudged = [], ...rest } = part;
  const rows = [...enclosures, ...animals, ...fittings, ...readings, ...answers, ...unjudged];
  return [library, JSON.stringify([how, rest]), ...rows];
}

// What is in one enclosure has no part in the scores of another: after a change only those of its own enclosure are found again.
const scoresThere = whileSame<Enclosure, AnimalScore[]>();

function scoresIn(enclosure: Enclosure, scoring: Scoring): AnimalScore[] {
  const there = aroundEnclosures(scoring.collection, [enclosure.id]);
  const work = () => there.animals.map((animal) => scoreAnimal(animal, { ...scoring, collection: there })!);
  return Object.isFrozen(scoring) ? scoresThere(enclosure, judgedFrom(scoring, there), work) : work();
}

/** Scores every animal of a collection. */
export const scoreCollection = oncePer((scoring: Scoring): CollectionScores => {
  const scores = new Map(
    scoring.collection.enclosures.flatMap((one) => scoresIn(one, scoring)).map((one) => [one.animalId, one]),
  );
  const outcomes = scoring.collection.animals.map((animal) => ({ animal, score: scores.get(animal.id) ?? null }));
  const scored = outcomes
    .flatMap(({ animal, score }) => (score === null ? [] : [{ animal, score }]))
    .sort((a, b) => a.score.score - b.score.score || a.score.low - b.score.low);
  return {
    scored,
    homeless: outcomes.filter(({ score }) => score === null).map(({ animal }) => animal),
    measureFirst: measureFirstOf(scored, scoring.collection, scoring.on),
  };
});

function measureFirstOf(scored: CollectionScores['scored'], collection: Collection, on: PlainDate): MeasureFirst[] {
  const found = new Map<string, MeasureFirst>();
  for (const { animal, score } of scored) {
    const enclosureId = animal.enclosureId!;
    for (const need of score.needs) {
      for (const { reason } of need.reasons) {
        const place = { enclosureId, animalIds: [animal.id], lifeCritical: need.lifeCritical };
        let one: MeasureFirst;
        if (reason.why === 'unknown-reading')
          one = { ...place, measure: 'reading', kind: reason.kind, cause: reason.cause };
        else if (reason.why === 'uncertain-reading' && reason.from === 'expected' && !reason.kind.startsWith('uvi'))
          // What was fitted brings it about only when an instrument says so. Light is reckoned, and a meter for it is rare.
          one = { ...place, measure: 'reading', kind: reason.kind, cause: 'awaited' };
        else if (reason.why === 'basking-unmeasured')
          one = { ...place, measure: 'reading', kind: 'hot-spot-surface', cause: 'never-read' };
        else if (reason.why === 'heater-unknown') one = { ...place, measure: 'heater', lifeCritical: true };
        else if (reason.why === 'thermostat-unknown')
          one = { ...place, measure: 'thermostat', heater: reason.fitting, lifeCritical: true };
        else if (reason.why === 'check-unknown')
          one = { ...place, measure: 'check', check: reason.check, lifeCritical: reason.critical };
        else if (reason.why === 'water-feature-missing' && isUnanswered(reason.feature))
          one = {
            ...place,
            measure: 'check',
            check: reason.feature === 'easy-exit' ? 'easy-exit' : 'water-quality-tested',
          };
        else if (reason.why === 'sexes-unknown') one = { ...place, measure: 'sexes', lifeCritical: true };
        else if (reason.why === 'length-unknown') one = { ...place, measure: 'length' };
        else if (reason.why === 'uv-hours-unknown') one = { ...place, measure: 'uv-hours' };
        else if (reason.why === 'uv-between-unknown') one = { ...place, measure: 'between', lamp: reason.fitting };
        else continue;
        const what =
          one.measure === 'reading'
            ? one.kind
            : one.measure === 'check'
              ? one.check
              : one.measure === 'thermostat'
                ? one.heater
                : one.measure === 'between'
                  ? one.lamp
                  : '';
        const whose = one.measure === 'length' ? animal.id : '';
        const key = `${enclosureId} ${one.measure} ${what} ${whose}`;
        const before = found.get(key);
        if (before === undefined) found.set(key, one);
        else {
          before.lifeCritical ||= one.lifeCritical;
          if (!before.animalIds.includes(animal.id)) before.animalIds.push(animal.id);
        }
      }
    }

    function isUnanswered(feature: string): boolean {
      const check =
        feature === 'easy-exit' ? 'easy-exit' : feature === 'quality-tested' ? 'water-quality-tested' : null;
      if (check === null) return false;
      const given = collection.answers.find((one) => one.enclosureId === enclosureId && one.check === check);
      return given === undefined || given.answer === 'unknown';
    }
  }
  for (const one of withoutHeater(scored, collection, on)) found.set(`${one.enclosureId} holds ${one.fittingId}`, one);
  const isAwaited = (one: MeasureFirst) => one.measure === 'reading' && one.cause === 'awaited';
  return [...found.values()].sort(
    (a, b) => Number(b.lifeCritical) - Number(a.lifeCritical) || Number(isAwaited(b)) - Number(isAwaited(a)),
  );
}

// The thermostats whose heater was taken out of use where somebody lives; one that waits for a new one in place of a broken heater holds that.
function withoutHeater(
  scored: CollectionScores['scored'],
  { fittings }: Collection,
  on: PlainDate,
): (MeasureFirst & { measure: 'holds' })[] {
  return fittings.flatMap((one) => {
    if (one.kind !== 'thermostat' || one.regulates === null || !isFitted(one, on)) return [];
    const heater = fittings.find(({ id }) => id === one.regulates);
    if (heater === undefined || heater.retiredOn === null || heater.retiredOn > on || isBroken(heater)) return [];
    const animalIds = scored.flatMap(({ animal }) => (animal.enclosureId === one.enclosureId ? [animal.id] : []));
    if (animalIds.length === 0) return [];
    const names = { thermostat: one.name, fittingId: one.id, heater: heater.name };
    return [{ measure: 'holds', enclosureId: one.enclosureId, animalIds, lifeCritical: false, ...names }];
  });
}
