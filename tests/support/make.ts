// Invented animals, enclosures, things, readings, upgrades and ledgers: plain builders with every field filled, each of which may be replaced,
// and a stream of random ledgers that use the real care targets.

import { readCareLibrary } from '../../seed/library.ts';
import type { PlainDate } from '../../src/calendar.ts';
import { plainDate, plainMonth } from '../../src/calendar.ts';
import {
  type Animal,
  type Answer,
  bareReading,
  CHECKS,
  type Collection,
  type Enclosure,
  FITTING_KINDS,
  type Fitting,
  lampOf,
  MATERIALS,
  READING_KINDS,
  type Reading,
  type ReadingKind,
  UNKNOWN_BUILD,
} from '../../src/collection.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import { money } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import { DEFAULT_CHOICES } from '../../src/score.ts';
import { randomNumbers } from '../../src/search.ts';
import { HIDE_ZONES } from '../../src/species.ts';
import type { Change, NewFitting, Upgrade } from '../../src/upgrades.ts';
import { bareFitting, bareUpgrade, fittedOnDay } from '../../src/upgrades.ts';

export const library = readCareLibrary();

/** The day on which made ledgers are planned, in the first of their months. */
export const planDate = plainDate('2026-01-15');

// What is made without a number of its own gets one that no other has.
let numbered = 0;
const nextId = (letter: string) => `${letter}${++numbered}`;

/** An animal of which neither size nor age is known, in the enclosure '1'. */
export function makeAnimal(speciesId: string, parts: Partial<Animal> = {}): Animal {
  const id = parts.id ?? 'a';
  return {
    id,
    name: `animal ${id}`,
    speciesId,
    enclosureId: '1',
    lengthMm: null,
    measuredOn: plainDate('2026-01-01'),
    hatchedOn: null,
    sex: 'unknown',
    paleMorph: false,
    seasons: [],
    ...parts,
  };
}

/** A wooden enclosure under mesh. */
export function makeEnclosure(parts: Partial<Enclosure> = {}): Enclosure {
  const id = parts.id ?? '1';
  return {
    id,
    name: `enclosure ${id}`,
    lengthMm: 900,
    depthMm: 450,
    heightMm: 450,
    material: 'wood',
    top: 'mesh',
    boxSince: plainDate('2025-01-01'),
    build: UNKNOWN_BUILD,
    ...parts,
  };
}

/** The same of a size. */
export function makeBox(lengthMm: number, depthMm: number, heightMm: number, parts: Partial<Enclosure> = {}) {
  return makeEnclosure({ lengthMm, depthMm, heightMm, ...parts });
}

/** A thing of a kind as an upgrade would fit it; its key is its kind. */
export function makeThing(kind: Fitting['kind'], parts: Partial<NewFitting> = {}): NewFitting {
  return { ...bareFitting(kind, kind), ...parts };
}

/** A thing of a kind that has been in the enclosure '1' for nearly a year. */
export function makeFitting(kind: Fitting['kind'], parts: Partial<Fitting> = {}): Fitting {
  const id = parts.id ?? nextId('f');
  return { ...fittedOnDay(bareFitting(kind, `${kind} ${id}`), id, '1', plainDate('2025-02-01')), ...parts };
}

/** What was read with a probe in the enclosure '1' a few days before planDate; of null it is not known. */
export function makeReading(kind: ReadingKind, value: number | null, parts: Partial<Reading> = {}): Reading {
  const reading = bareReading(parts.id ?? nextId('r'), '1', kind, value ?? 0, plainDate('2026-01-10'));
  const typed = value === null ? '' : String(value);
  return { ...reading, value, evidence: value === null ? 'unknown' : 'measured', typed, instrument: 'probe', ...parts };
}

/** Both critical checks answered well. */
export const soundAnswers: Answer[] = (['escape-proof', 'nothing-toxic'] as const).map((check) => ({
  enclosureId: '1',
  check,
  answer: 'yes',
  answeredOn: plainDate('2026-01-02'),
}));

/** A collection that answers the critical checks well and has nothing else. */
export function makeCollection(parts: Partial<Collection> & { enclosures: Enclosure[] }): Collection {
  return { animals: [], fittings: [], readings: [], answers: soundAnswers, ...parts };
}

export function makeUpgrade(id: string, changes: Change[], parts: Partial<Upgrade> = {}): Upgrade {
  return { ...bareUpgrade(`upgrade ${id}`, changes), id, ...parts };
}

/** An upgrade that fits one thing in an enclosure. */
export function fitUpgrade(id: string, thing: NewFitting, parts: Partial<Upgrade> = {}, enclosureId = '1'): Upgrade {
  return makeUpgrade(id, [{ change: 'fit', enclosureId, fitting: thing }], parts);
}

/** An upgrade that replaces the box of an enclosure by one of a size in centimetres. */
export function boxUpgrade(
  id: string,
  [length, depth, height]: [number, number, number],
  parts: Partial<Upgrade> = {},
  enclosureId = '1',
): Upgrade {
  const size = { lengthMm: length * 10, depthMm: depth * 10, heightMm: height * 10 };
  return makeUpgrade(id, [{ change: 'replace-box', enclosureId, ...size, material: 'wood', top: 'closed' }], parts);
}

/** Money that is never short: for tests of what things are worth, not of what they cost. */
export function plenty(months: number): LedgerFacts['money'] {
  return {
    openingCash: money(100_000_000),
    income: Array.from({ length: months }, () => money(0)),
    committed: Array.from({ length: months }, () => money(0)),
    reserve: money(0),
    owned: [],
    tailIncome: money(100_000_000),
  };
}

/** A sum that comes in every month and nothing else. */
export function monthly(sum: number, months: number, parts: Partial<LedgerFacts['money']> = {}): LedgerFacts['money'] {
  return {
    ...plenty(months),
    openingCash: money(0),
    income: Array.from({ length: months }, () => money(sum)),
    tailIncome: money(sum),
    ...parts,
  };
}

const nothingKept: Collection = { animals: [], enclosures: [], fittings: [], readings: [], answers: [] };

export function makeFacts(
  parts: Partial<Omit<LedgerFacts, 'collection'>> & { collection: Partial<Collection> },
): LedgerFacts {
  const months = parts.months ?? 12;
  return {
    library,
    choices: DEFAULT_CHOICES,
    upgrades: [],
    money: plenty(months),
    planDate,
    firstMonth: plainMonth('2026-01'),
    months,
    creditMonths: 9,
    ...parts,
    collection: { ...nothingKept, ...parts.collection },
  };
}

/** One chance after another, always the same for a seed. */
export type Chance = {
  number: (low: number, high: number) => number;
  whole: (low: number, high: number) => number;
  likely: (share: number) => boolean;
  pick: <T>(list: readonly T[]) => T;
};

export function chanceOf(seed: number): Chance {
  const next = randomNumbers(seed);
  const number = (low: number, high: number) => low + next() * (high - low);
  return {
    number,
    whole: (low, high) => Math.min(high, Math.floor(number(low, high + 1))),
    likely: (share) => next() < share,
    pick: (list) => list[Math.min(list.length - 1, Math.floor(next() * list.length))]!,
  };
}

const ranges: Record<ReadingKind, [number, number]> = {
  'hot-spot-surface': [24, 48],
  'warm-hide-floor': [20, 42],
  'warm-air': [18, 36],
  'cool-end-air': [12, 32],
  'night-air': [8, 28],
  water: [12, 32],
  'uvi-basking': [0, 7],
  'uvi-lowest': [0, 1],
  'humidity-day': [20, 98],
  'humidity-night': [20, 98],
  'humidity-retreat': [40, 100],
  'water-depth': [10, 500],
};

/**
 * An invented ledger with money to spare: one to three enclosures with animals of real species, random things, readings (some of the day
 * of planning itself) and answers, and up to `most` random upgrades for each enclosure, of every kind of change there is.
 */
export function randomFacts(seed: number, most = 4): LedgerFacts {
  const chance = chanceOf(seed);
  const months = chance.pick([6, 12]);
  const day = (): PlainDate =>
    chance.pick(['2024-06-10', '2025-02-20', '2025-08-01', '2025-12-20', planDate].map(plainDate));
  const enclosures: Enclosure[] = [];
  const animals: Animal[] = [];
  const fittings: Fitting[] = [];
  const readings: Reading[] = [];
  const answers: Collection['answers'] = [];
  const upgrades: Upgrade[] = [];
  const size = () => Math.round(chance.number(300, 1800));
  const reading = () => chance.pick(READING_KINDS);
  const value = (kind: ReadingKind) => Math.round(chance.number(...ranges[kind]) * 10) / 10;
  const kinds = FITTING_KINDS;
  const thing = (key: string, others: string[]): NewFitting => {
    const kind = chance.pick(kinds);
    const worksOn = others.length > 0 && chance.likely(0.7) ? chance.pick(others) : null;
    const isLamp = kind === 'uv-tube' || kind === 'uv-compact';
    return {
      ...bareFitting(kind, `${kind} ${key}`),
      key,
      lifeMonths: isLamp || chance.likely(0.2) ? chance.whole(3, 18) : null,
      watts: chance.likely(0.4) ? chance.whole(5, 100) : null,
      hoursPerDay: chance.likely(0.6) ? chance.whole(6, 16) : null,
      place: chance.likely(0.7) ? chance.pick(HIDE_ZONES) : null,
      regulates: kind === 'thermostat' || (kind === 'timer' && chance.likely(0.5)) ? worksOn : null,
      guards: kind === 'guard' ? worksOn : null,
      outOfReach: chance.likely(0.4),
      lamp: isLamp && chance.likely(0.7) ? lampOf(kind === 'uv-tube' ? 550 : null, 300, chance.number(1, 6)) : null,
      distanceMm: isLamp && chance.likely(0.8) ? chance.whole(150, 600) : null,
      meshShare: chance.pick([1, 1, 0.65]),
      expects: chance.likely(0.35) ? [reading()].map((one) => ({ reading: one, value: value(one) })) : [],
      outdoors:
        kind === 'outdoor-run'
          ? { lengthMm: 2000, depthMm: 1500, fromMonth: 4, toMonth: 9, shade: chance.likely(0.7) }
          : null,
      whenBoxReplaced: chance.pick(['moves', 'stays-behind']),
    };
  };
  const boxes = chance.whole(1, 3);
  for (let box = 1; box <= boxes; box++) {
    const enclosureId = String(box);
    enclosures.push(
      makeEnclosure({
        id: enclosureId,
        lengthMm: size(),
        depthMm: size(),
        heightMm: size(),
        material: chance.pick(MATERIALS),
        top: chance.pick(['closed', 'mesh', 'open']),
        boxSince: day(),
        build: UNKNOWN_BUILD,
      }),
    );
    const species = chance.pick(library.species);
    for (let count = chance.likely(0.2) ? 2 : 1; count > 0; count--) {
      animals.push(
        makeAnimal(chance.likely(0.95) ? species.id : chance.pick(library.species).id, {
          id: `${box}-${count}`,

          enclosureId,
          lengthMm: chance.likely(0.85) ? Math.round(species.adultSize.highMm * chance.number(0.15, 1.1)) : null,
          measuredOn: chance.likely(0.8) ? day() : null,
          hatchedOn: chance.likely(0.6) ? chance.pick(['2019-04-01', '2025-06-01', '2025-10-01'].map(plainDate)) : null,
          paleMorph: chance.likely(0.2),
          seasons: chance.likely(0.4)
            ? [
                {
                  season: chance.pick(['cooling', 'winter-rest']),
                  fromMonth: chance.whole(10, 12),
                  toMonth: chance.whole(1, 4),
                },
              ]
            : [],
        }),
      );
    }
    const here: string[] = [];
    for (let count = chance.whole(0, 7); count > 0; count--) {
      const id = `${box}${count}`;
      const { key: _, ...bare } = thing(id, here);
      const [fittedOn, movedOn] = [day(), chance.likely(0.1) ? day() : null];
      const retiredOn = chance.likely(0.1) ? planDate : null;
      const brokenOn = count % 2 === 0 ? retiredOn : null;
      fittings.push({ ...bare, id, enclosureId, fittedOn, movedOn, retiredOn, brokenOn });
      here.push(id);
    }
    for (const kind of READING_KINDS) {
      if (chance.likely(0.4)) continue;
      const takenOn = day();
      const evidence = chance.pick(['measured', 'measured', 'estimated', 'unknown'] as const);
      readings.push(
        makeReading(kind, value(kind), { enclosureId, takenOn, evidence, accuracy: chance.likely(0.3) ? 2 : null }),
      );
    }
    for (const check of CHECKS) {
      if (chance.likely(0.3)) continue;
      answers.push({ enclosureId, check, answer: chance.pick(['yes', 'no', 'unknown'] as const), answeredOn: day() });
    }
    const change = (id: string): Change => {
      const target = here.length > 0 ? chance.pick(here) : 'none';
      const roll = chance.number(0, 1);
      if (roll < 0.5) return { change: 'fit', enclosureId, fitting: thing(`t${id}`, here) };
      if (roll < 0.56) return { change: 'retire', fittingId: target };
      if (roll < 0.64) {
        const distanceMm = chance.likely(0.7) ? chance.whole(150, 600) : null;
        return {
          change: 'move',
          fittingId: target,
          distanceMm,
          meshShare: chance.likely(0.3) ? 1 : null,
          place: chance.likely(0.4) ? chance.pick(HIDE_ZONES) : null,
          outOfReach: chance.likely(0.4) ? true : null,
          placed: null,
        };
      }
      if (roll < 0.69) return { change: 'set-hours', fittingId: target, hoursPerDay: chance.whole(8, 14) };
      if (roll < 0.75) return { change: 'renew', fittingId: target };
      if (roll < 0.82)
        return {
          change: 'replace-box',
          enclosureId,
          lengthMm: size(),
          depthMm: size(),
          heightMm: size(),
          material: 'wood',
          top: 'closed',
        };
      const kind = reading();
      if (roll < 0.92) return { change: 'predict', enclosureId, reading: kind, value: value(kind) };
      return { change: 'answer', enclosureId, check: chance.pick(CHECKS) };
    };
    const first = upgrades.length;
    for (let count = chance.whole(1, most); count > 0; count--) {
      const id = String(upgrades.length + 101);
      const parts: Partial<Upgrade> = {
        group: chance.likely(0.2) ? `group ${box}` : null,
        requires: upgrades.length > first && chance.likely(0.25) ? [[chance.pick(upgrades.slice(first)).id]] : [],
      };
      upgrades.push(
        makeUpgrade(
          id,
          Array.from({ length: chance.pick([1, 1, 1, 2, 3]) }, (_, index) => change(`${id}${index}`)),
          parts,
        ),
      );
    }
  }
  return makeFacts({
    collection: { animals, enclosures, fittings, readings, answers },
    upgrades,
    months,
    money: plenty(months),
  });
}

/** The record of a closed month in which nothing happened. */
export function quietMonth(month: string, judgedOn: string, parts: Partial<MonthRecord> = {}): MonthRecord {
  return {
    month: plainMonth(month),
    judgedOn: plainDate(judgedOn),
    planId: null,
    planned: [],
    bought: [],
    returned: [],
    renewed: [],
    renewalsDue: [],
    readings: [],
    cameIn: money(20_00),
    sumPlanned: null,
    cashPlanned: null,
    earned: null,
    counted: null,
    scores: [],
    welfare: null,
    events: [],
    note: '',
    ...parts,
  };
}
