// What every column of JSON must hold before a ledger that comes in is taken over: as much as the pages go by without asking again. What a
// later version added to a form is left out in the files of earlier ones.

import { z } from 'zod';
import { readDate, readMonth } from '../src/calendar.ts';
import {
  CHECKS,
  FITTING_KINDS,
  MATERIALS,
  OUTPUT_ORIGINS,
  READING_KINDS,
  REFLECTORS,
  TOPS,
} from '../src/collection.ts';
import { CAUSES } from '../src/month-review.ts';
import { HIDE_ZONES, NEEDS, RULE_SETS } from '../src/species.ts';
import type { JsonColumn } from './db/whole-ledger.ts';

const things = z.looseObject({});
/** The smallest and the largest that forms take of each; see src/units.ts. */
const length = z.number().min(0).max(20_000);
const someLength = z.number().min(1).max(20_000);
const celsius = z.number().min(-30).max(120);
const uvi = z.number().min(0).max(60);
const watts = z.number().min(0).max(5_000);
const share = z.number().min(0).max(1);
const monthOfYear = z.int().min(1).max(12);
const lifeMonths = z.int().min(1).max(600).nullable();
const amount = z.int().min(0).max(1e12);
const id = z.string().regex(/^[1-9]\d{0,14}$/);
// Within an upgrade a thing that it fits itself goes by its key.
const idOrKey = z.string().min(1).max(200);
const name = z.string().max(400);
const day = z.string().refine((text) => readDate(text) !== null);
const orNothing = <Schema extends z.ZodType>(schema: Schema) => schema.nullish();

// No page shows a value of a kind beyond what any of them may be.
const readingValue = z.number().min(-30).max(20_000);
const expects = z.array(z.looseObject({ reading: z.enum(READING_KINDS), value: readingValue }));
const lamp = z
  .looseObject({
    litLengthMm: length.nullable(),
    atMm: z.number().positive().max(20_000),
    uvi,
    more: z.array(z.looseObject({ atMm: z.number().positive().max(20_000), uvi })).max(50),
    from: z.enum(OUTPUT_ORIGINS),
    datumOffsetMm: z.number().min(-20_000).max(20_000),
    reflector: z.enum(REFLECTORS),
    throughMesh: z.boolean(),
    beam: z.number().min(-100).max(100).nullable(),
  })
  .nullable();
const placed = z
  .looseObject({
    xMm: length,
    yMm: length,
    zMm: length,
    lengthMm: length.nullable(),
    depthMm: length.nullable(),
    heightMm: length.nullable(),
    turned: z.boolean(),
  })
  .nullable();
const outdoors = z
  .looseObject({
    lengthMm: someLength,
    depthMm: someLength,
    fromMonth: monthOfYear,
    toMonth: monthOfYear,
    shade: z.boolean(),
  })
  .nullable();
const box = {
  lengthMm: someLength,
  depthMm: someLength,
  heightMm: someLength,
  material: z.enum(MATERIALS),
  top: z.enum(TOPS),
};
const fitting = {
  kind: z.enum(FITTING_KINDS),
  name,
  lifeMonths,
  renewalPrice: amount.nullable(),
  watts: watts.nullable(),
  hoursPerDay: z.number().min(0).max(24).nullable(),
  duty: share.nullable(),
  place: z.enum(HIDE_ZONES).nullable(),
  regulates: idOrKey.nullable(),
  guards: idOrKey.nullable(),
  outOfReach: z.boolean(),
  lamp,
  distanceMm: length.nullable(),
  meshShare: share.nullable(),
  expects,
  outdoors,
  whenBoxReplaced: z.enum(['moves', 'stays-behind']),
  placed: placed.optional(),
  outletId: orNothing(id),
};
const change = z.discriminatedUnion('change', [
  z.looseObject({ change: z.literal('fit'), enclosureId: id, fitting: z.looseObject({ key: idOrKey, ...fitting }) }),
  z.looseObject({ change: z.literal('retire'), fittingId: idOrKey }),
  z.looseObject({
    change: z.literal('move'),
    fittingId: idOrKey,
    distanceMm: length.nullable(),
    meshShare: share.nullable(),
    place: z.enum(HIDE_ZONES).nullable(),
    outOfReach: z.boolean().nullable(),
    placed: placed.optional(),
  }),
  z.looseObject({ change: z.literal('set-hours'), fittingId: idOrKey, hoursPerDay: z.number().min(0).max(24) }),
  z.looseObject({ change: z.literal('renew'), fittingId: idOrKey }),
  z.looseObject({ change: z.literal('replace-box'), enclosureId: id, ...box }),
  z.looseObject({
    change: z.literal('predict'),
    enclosureId: id,
    reading: z.enum(READING_KINDS),
    value: readingValue,
  }),
  z.looseObject({ change: z.literal('answer'), enclosureId: id, check: z.enum(CHECKS) }),
]);
const freed = z.discriminatedUnion('what', [
  z.looseObject({ what: z.literal('box'), key: idOrKey, name, from: id, box: z.looseObject(box) }),
  z.looseObject({ what: z.literal('fitting'), key: idOrKey, name, from: id, fitting: z.looseObject(fitting) }),
]);
const build = z.looseObject({
  wallMm: orNothing(length),
  frontMaterial: orNothing(z.enum(MATERIALS)),
  frontMm: orNothing(length),
  standsOn: z.enum(['something', 'free']),
  airChanges: orNothing(z.number().min(0).max(1_000)),
  heatUse: orNothing(z.looseObject({ watts, insideCelsius: celsius, roomCelsius: celsius, on: day })),
  roomId: orNothing(id),
  mostLengthMm: orNothing(length),
  mostDepthMm: orNothing(length),
  mostHeightMm: orNothing(length),
});
const statedError = z.looseObject({
  by: z.enum(['amount', 'share']),
  value: z.number().min(0).max(1_000),
  typed: name,
});
const byNeed = (most: number) => z.record(z.enum(NEEDS), z.number().min(0).max(most));

// Below 0 as well: what was paid less what came back, and how far a plan was off.
const sum = z.int().min(-1e12).max(1e12);
const month = z.string().refine((text) => readMonth(text) !== null);
const need = z.enum(NEEDS);
const points = z.number().min(0).max(100);
// Points x months of a whole collection, in tenths.
const tenths = z.int().min(-1e9).max(1e9);
const ratio = z.number().min(-1e12).max(1e12).nullable();
const causes = z.record(z.enum(CAUSES), tenths);

/** A closed month: a record that cannot be made anew, so every part of it that its pages show is looked at. */
const monthRecord = z.looseObject({
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
});

// Kept as text by the program, which reads and writes them itself.
type TextOfJson =
  | `plans.${'answer' | 'problem' | 'roadmap' | 'since_last'}`
  | 'plan_studies.content'
  | `cap_questions.${'question' | 'outcome'}`;

/** What the columns of JSON hold, by table and column; one that is forgotten does not compile. */
export const jsonSchemas: Readonly<Record<JsonColumn | TextOfJson, z.ZodType> & Record<string, z.ZodType>> = {
  'animals.seasons': z
    .array(z.looseObject({ season: z.enum(['cooling', 'winter-rest']), fromMonth: monthOfYear, toMonth: monthOfYear }))
    .max(2),
  'animals.states': z
    .array(z.looseObject({ state: z.enum(['gravid', 'quarantine']), from: day, to: day.nullable() }))
    .max(2),
  'cap_questions.outcome': z.unknown(),
  'cap_questions.question': things,
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
  'plan_facts.facts': things,
  'plan_studies.content': things,
  'plans.answer': z.looseObject({ status: z.string() }),
  'plans.problem': z.looseObject({ months: z.int(), purchases: z.array(things) }),
  'plans.roadmap': z.looseObject({ months: z.array(things), animals: z.array(things) }).nullable(),
  'plans.since_last': things.nullable(),
  'shipped_figures.figures': things,
  'upgrades.changes': z.array(change),
  'upgrades.requires': z.array(z.array(z.int().positive())),
};
