// What every column of JSON must hold before a ledger that comes in is taken over: as much as the pages go by without asking again. What a
// later version added to a form is left out in the files of earlier ones.

import { z } from 'zod';
import { type PlainMonth, readMonth } from '../src/calendar.ts';
import { READING_KINDS } from '../src/collection.ts';
import type { Money } from '../src/money.ts';
import { CAUSES, type MonthRecord } from '../src/month-review.ts';
import { NEEDS, RULE_SETS } from '../src/species.ts';
import type { JsonColumn, Rows } from './db/whole-ledger.ts';
import {
  keptAnswerTo,
  keptFacts,
  keptOutcome,
  keptProblem,
  keptQuestion,
  keptRoadmap,
  keptSinceLast,
  keptStudy,
} from './plan-json.ts';
import {
  build,
  byNeed,
  change,
  day,
  exactly,
  expects,
  freed,
  id,
  idOrKey,
  lamp,
  monthOfYear,
  name,
  outdoors,
  placed,
  statedError,
} from './setup-json.ts';

const things = z.looseObject({});

// Below 0 as well: what was paid less what came back, and how far a plan was off.
const sum = z.int().min(-1e12).max(1e12) as unknown as z.ZodType<Money>;
const month = z.string().refine((text) => readMonth(text) !== null) as unknown as z.ZodType<PlainMonth>;
const need = z.enum(NEEDS);
// A mean of hundreds may be a hair beyond a hundred.
const points = z
  .number()
  .min(-1e-6)
  .max(100 + 1e-6);
// Points x months of a whole collection, in tenths.
const tenths = z.int().min(-1e9).max(1e9);
const ratio = z.number().min(-1e12).max(1e12).nullable();
const causes = z.record(z.enum(CAUSES), tenths);

/** A closed month: a record that cannot be made anew, so every part of it that its pages show is looked at. */
const monthRecord = exactly<MonthRecord>()(
  z.looseObject({
    month,
    judgedOn: day,
    planId: id.nullable(),
    planned: z.array(z.looseObject({ upgradeId: idOrKey, name, price: sum, arrives: month })),
    bought: z.array(
      z.looseObject({
        upgradeId: idOrKey,
        name,
        paid: sum,
        boughtOn: day,
        fittedOn: day.nullable(),
        refunded: sum,
        shop: name,
        purposes: z.array(z.looseObject({ animal: name, need: need.nullable(), amount: sum })),
      }),
    ),
    returned: z.array(z.looseObject({ name, on: day, refund: sum, paid: sum, why: z.enum(['failed', 'returned']) })),
    renewed: z.array(z.looseObject({ name, on: day, paid: sum })),
    renewalsDue: z.array(z.looseObject({ name, dueOn: day, price: sum.nullable() })),
    readings: z.array(z.looseObject({ enclosure: name, kind: z.enum(READING_KINDS), typed: name, takenOn: day })),
    cameIn: sum,
    sumPlanned: sum.nullable(),
    usualSum: sum.nullable().exactOptional(),
    cashPlanned: sum.nullable(),
    earned: z
      .looseObject({
        budget: sum,
        planned: sum,
        earned: sum,
        spent: sum,
        costVariance: sum,
        scheduleVariance: sum,
        costIndex: ratio,
        scheduleIndex: ratio,
        atCompletion: sum.nullable(),
        unplanned: sum.exactOptional(),
      })
      .nullable(),
    counted: z.looseObject({ cash: sum, on: day, expected: sum.nullable() }).nullable(),
    scores: z.array(
      z.looseObject({
        animalId: id,
        name,
        score: points,
        low: points,
        high: points,
        worst: need.nullable(),
        severe: z.array(need),
      }),
    ),
    welfare: z
      .looseObject({
        planned: tenths,
        actual: tenths,
        causes,
        animals: z.array(
          z.looseObject({ animalId: id, name, planned: tenths.nullable(), actual: tenths.nullable(), causes }),
        ),
      })
      .nullable(),
    events: z.array(z.looseObject({ on: day, what: name, name: z.string().max(4_000), amount: sum.nullable() })),
    note: z.string().max(4_000),
  }),
);

// Kept as text by the program, which reads and writes them itself.
type TextOfJson =
  | `plans.${'answer' | 'problem' | 'roadmap' | 'since_last'}`
  | 'plan_studies.content'
  | `cap_questions.${'question' | 'outcome'}`;

type Held = z.ZodType | ((row: Rows[number]) => z.ZodType);

// What the columns of JSON hold, by table and column; one that is forgotten does not compile.
const held: Readonly<Record<JsonColumn | TextOfJson, Held> & Record<string, Held>> = {
  'animals.seasons': z
    .array(z.looseObject({ season: z.enum(['cooling', 'winter-rest']), fromMonth: monthOfYear, toMonth: monthOfYear }))
    .max(2),
  'animals.states': z
    .array(z.looseObject({ state: z.enum(['gravid', 'quarantine']), from: day, to: day.nullable() }))
    .max(2),
  'cap_questions.outcome': keptOutcome,
  'cap_questions.question': keptQuestion,
  'care_overrides.shipped': z.unknown(),
  'care_overrides.typed': z.record(z.string(), z.string()),
  'care_overrides.value': z.unknown(),
  'care_updates.changes': z.array(things),
  'care_updates.moved': z.array(
    z.looseObject({ animalId: z.string(), name, speciesId: name, before: z.number(), after: z.number() }),
  ),
  'enclosures.build': build,
  'fittings.expects': expects,
  'fittings.lamp': lamp,
  'fittings.outdoors': outdoors,
  'fittings.placed': placed,
  'instruments.measures': z.array(z.looseObject({ kind: z.enum(READING_KINDS), accuracy: statedError.nullable() })),
  'ledger.allowances': byNeed(100),
  'ledger.need_weights': byNeed(1_000),
  'ledger.priority': z.array(z.number().min(0).max(1_000)).length(3),
  'ledger.rule_sets': z.array(z.enum(RULE_SETS)),
  'own_species.sources': z.array(z.looseObject({ id: z.string() })),
  'own_species.species': z.looseObject({ id: z.string() }),
  'closed_months.record': monthRecord,
  'old_things.facts': freed,
  'plan_facts.facts': keptFacts,
  'plan_studies.content': ({ kind }) => keptStudy(kind),
  'plans.answer': ({ problem }) => keptAnswerTo(problem),
  'plans.problem': keptProblem,
  'plans.roadmap': keptRoadmap,
  'plans.since_last': keptSinceLast,
  'shipped_figures.figures': things,
  'upgrades.changes': z.array(change),
  'upgrades.requires': z.array(z.array(z.int().positive())),
};

const columns = Object.entries(held).map(([place, schema]) => {
  const [table, column] = place.split('.') as [string, string];
  return { table, column, schema };
});

/** The columns of JSON that are held to a form, as 'table.column'. */
export const heldColumns: readonly string[] = Object.keys(held);

/** The first column of JSON of a row that does not hold what it must; null where all do, as in a table without any. */
export function spoiltColumn(table: string, row: Rows[number]): string | null {
  const spoilt = columns.find(
    (one) =>
      one.table === table &&
      !(typeof one.schema === 'function' ? one.schema(row) : one.schema).safeParse(row[one.column]).success,
  );
  return spoilt?.column ?? null;
}
