// What the JSON of a set-up must hold before a ledger that comes in is taken over: measures, days and ids, fitted things, boxes and the
// changes of an upgrade, each within what forms take. What a later version added to a form is left out in the files of earlier ones.

import { z } from 'zod';
import { type PlainDate, readDate } from '../src/calendar.ts';
import {
  type BoxBuild,
  CHECKS,
  FITTING_KINDS,
  MATERIALS,
  OUTPUT_ORIGINS,
  READING_KINDS,
  REFLECTORS,
  TOPS,
} from '../src/collection.ts';
import type { Money } from '../src/money.ts';
import { HIDE_ZONES, NEEDS } from '../src/species.ts';
import type { Change } from '../src/upgrades.ts';

type Plain<Kept> = Kept extends string | number | boolean | null | undefined
  ? Kept
  : { -readonly [Name in keyof Kept]: Plain<Kept[Name]> };

/**
 * A schema that takes everything that a type allows and nothing that it does not, as far as the compiler can tell: a field, or a case of a
 * union, that is forgotten does not compile. Else what the program wrote itself could not be brought back.
 */
export const exactly =
  <Kept>() =>
  <Schema extends z.ZodType<Kept>>(schema: Plain<Kept> extends z.output<Schema> ? Schema : never): Schema =>
    schema;

/** The smallest and the largest that forms take of each; see src/units.ts. */
const length = z.number().min(0).max(20_000);
const someLength = z.number().min(1).max(20_000);
const celsius = z.number().min(-30).max(120);
const uvi = z.number().min(0).max(60);
const watts = z.number().min(0).max(5_000);
export const share = z.number().min(0).max(1);
export const monthOfYear = z.int().min(1).max(12);
export const lifeMonths = z.int().min(1).max(600).nullable();
export const amount = z.int().min(0).max(1e12) as unknown as z.ZodType<Money>;
export const id = z.string().regex(/^[1-9]\d{0,14}$/);
// Within an upgrade a thing that it fits itself goes by its key.
export const idOrKey = z.string().min(1).max(200);
export const name = z.string().max(400);
export const day = z.string().refine((text) => readDate(text) !== null) as unknown as z.ZodType<PlainDate>;
/** What came into a form after rows of that form were kept: such a row has it not. */
export const cameLater = <Schema extends z.ZodType>(schema: Schema) => schema.optional() as unknown as Schema;
const orNothing = <Schema extends z.ZodType>(schema: Schema) => cameLater(schema.nullable());

// No page shows a value of a kind beyond what any of them may be.
const readingValue = z.number().min(-30).max(20_000);
export const expects = z.array(z.looseObject({ reading: z.enum(READING_KINDS), value: readingValue }));
export const lamp = z
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
export const placed = z
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
export const outdoors = z
  .looseObject({
    lengthMm: someLength,
    depthMm: someLength,
    fromMonth: monthOfYear,
    toMonth: monthOfYear,
    shade: z.boolean(),
  })
  .nullable();
export const box = {
  lengthMm: someLength,
  depthMm: someLength,
  heightMm: someLength,
  material: z.enum(MATERIALS),
  top: z.enum(TOPS),
};
export const fitting = {
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
  placed: cameLater(placed),
  outletId: orNothing(id),
};
export const change = exactly<Change>()(
  z.discriminatedUnion('change', [
    z.looseObject({ change: z.literal('fit'), enclosureId: id, fitting: z.looseObject({ key: idOrKey, ...fitting }) }),
    z.looseObject({ change: z.literal('retire'), fittingId: idOrKey }),
    z.looseObject({
      change: z.literal('move'),
      fittingId: idOrKey,
      distanceMm: length.nullable(),
      meshShare: share.nullable(),
      place: z.enum(HIDE_ZONES).nullable(),
      outOfReach: z.boolean().nullable(),
      placed: cameLater(placed),
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
  ]),
);
export const freed = z.discriminatedUnion('what', [
  z.looseObject({ what: z.literal('box'), key: idOrKey, name, from: id, box: z.looseObject(box) }),
  z.looseObject({ what: z.literal('fitting'), key: idOrKey, name, from: id, fitting: z.looseObject(fitting) }),
]);
export const build = exactly<BoxBuild>()(
  z.looseObject({
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
  }),
);
export const statedError = z.looseObject({
  by: z.enum(['amount', 'share']),
  value: z.number().min(0).max(1_000),
  typed: name,
});
export const byNeed = (most: number) => z.record(z.enum(NEEDS), z.number().min(0).max(most));
