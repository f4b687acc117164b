// What the catalogue of parts on disk must look like to be believed: things any shop sells, named by what they do, with a range of prices
// the keeper is expected to edit. Knows neither shops nor what a part is worth to an animal.

import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { z } from 'zod';
import type { LampOutput, Material, Top } from '../src/collection.ts';
import { lampOf, MATERIALS, REFLECTORS, TOPS } from '../src/collection.ts';
import { currencyOf, money } from '../src/money.ts';
import type { ControlType, Holding, Part as ProposablePart } from '../src/parts.ts';
import { STANDINGS } from '../src/species.ts';

/** Kinds of part that need nothing but the common fields. */
const PLAIN_KINDS = [
  'basking-lamp',
  'heat-mat',
  'ceramic-heater',
  'radiant-panel',
  'water-heater',
  'guard',
  'timer',
  'reflector',
  'hide',
  'moist-hide',
  'branches',
  'deep-substrate',
  'feeding-toy',
  'novelty',
  'water-dish',
  'pool',
  'filter',
  'dry-dock',
  'plants',
  'mister',
  'insulation',
  'top-cover',
  'fan',
  'chiller',
  'smoke-alarm',
  'residual-current-device',
  'door-lock',
  'thermometer',
  'hygrometer',
  'uv-meter',
] as const;

/**
 * What every part has. Prices are minor units of the catalogue's currency, the cheap and the dear end; `lifeMonths` until it must be
 * renewed, null when unknown; `watts` and `hoursPerDay` null when it draws nothing or only as what it controls draws; `leadMonths`
 * between ordering and use.
 */
type Common = Omit<ProposablePart, 'what' | 'lamp' | 'controls' | 'fixture' | 'enclosure' | 'run'>;

/** A part a keeper can buy. A compact lamp known only from its packaging has no lamp output; lengths are inside measures in mm. */
type Part = Common &
  (
    | { what: (typeof PLAIN_KINDS)[number] }
    | { what: 'uv-tube'; lamp: LampOutput & { litLengthMm: number } }
    | { what: 'uv-compact'; lamp: LampOutput | null }
    | { what: 'thermostat'; controls: { by: ControlType; maxWatts: number } }
    | { what: 'fixture'; fixture: Holding }
    | {
        what: 'enclosure';
        enclosure: { lengthMm: number; depthMm: number; heightMm: number; material: Material; top: Top };
      }
    | { what: 'outdoor-run'; run: { lengthMm: number; depthMm: number; cage: boolean } }
  );

/** The parts with the currency of their prices and the caution that goes with them. */
export type Catalogue = { currency: string; note: string; parts: Part[] };

const text = z.string().trim().min(1);
const price = z.int().min(100).max(200_000).transform(money);
const millimetres = z.int().min(50).max(10_000);
const litLength = z.int().min(100).max(2_000);
const lampRow = z.strictObject({
  litLengthMm: litLength.nullable(),
  atMm: z.int().min(50).max(1_000),
  uvi: z.number().min(0.1).max(15),
  reflector: z.enum(REFLECTORS).default('without'),
});
const tubeLamp = lampRow
  .extend({ litLengthMm: litLength })
  .transform(({ litLengthMm, ...one }) => ({ ...lampOf(litLengthMm, one.atMm, one.uvi, one), litLengthMm }));
const compactLamp = lampRow.transform((one) => lampOf(one.litLengthMm, one.atMm, one.uvi, one)).nullable();

const common = {
  id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/),
  name: text,
  priceLow: price,
  priceHigh: price,
  lifeMonths: z.int().min(1).max(240).nullable(),
  watts: z.number().min(0.5).max(500).nullable(),
  hoursPerDay: z.number().min(0).max(24).nullable(),
  leadMonths: z.int().min(0).max(6),
  standing: z.enum(STANDINGS),
};

const part: z.ZodType<Part> = z
  .discriminatedUnion('what', [
    z.strictObject({ what: z.enum(PLAIN_KINDS), ...common }),
    z.strictObject({ what: z.literal('uv-tube'), ...common, lamp: tubeLamp }),
    z.strictObject({ what: z.literal('uv-compact'), ...common, lamp: compactLamp }),
    z.strictObject({
      what: z.literal('thermostat'),
      ...common,
      controls: z.strictObject({ by: z.enum(['switching', 'pulse', 'dimming']), maxWatts: z.int().min(50).max(3_000) }),
    }),
    z.strictObject({
      what: z.literal('fixture'),
      ...common,
      fixture: z.discriminatedUnion('holds', [
        z.strictObject({ holds: z.literal('tube'), watts: z.int().min(5).max(200) }),
        z.strictObject({
          holds: z.literal('screw-cap'),
          maxWatts: z.int().min(25).max(1_000),
          ceramic: z.boolean(),
        }),
      ]),
    }),
    z.strictObject({
      what: z.literal('enclosure'),
      ...common,
      enclosure: z.strictObject({
        lengthMm: millimetres,
        depthMm: millimetres,
        heightMm: millimetres,
        material: z.enum(MATERIALS),
        top: z.enum(TOPS),
      }),
    }),
    z.strictObject({
      what: z.literal('outdoor-run'),
      ...common,
      run: z.strictObject({ lengthMm: millimetres, depthMm: millimetres, cage: z.boolean() }),
    }),
  ])
  .refine((one) => one.priceLow <= one.priceHigh, {
    path: ['priceLow'],
    error: 'priceLow must not be above priceHigh',
  });

const catalogueSchema: z.ZodType<Catalogue> = z.strictObject({
  currency: z.string().refine((code) => currencyOf(code) !== null, { error: 'no such currency' }),
  note: z.string().regex(/no source/),
  parts: z
    .array(part)
    .min(1)
    .refine((parts) => new Set(parts.map((one) => one.id)).size === parts.length, { error: 'two parts share an id' }),
});

/**
 * Reads and checks `catalogue.json` of a folder, by default the one that ships with the ledger. Throws with every fault, one a line, each
 * naming the file and the field.
 */
export function readCatalogue(folder: string = import.meta.dirname): Catalogue {
  const path = join(folder, 'catalogue.json');
  let content: unknown;
  try {
    content = JSON.parse(readFileSync(path, 'utf8'));
  } catch (error) {
    throw new Error(`The catalogue of parts cannot be read from ${basename(path)}.`, { cause: error });
  }
  const result = catalogueSchema.safeParse(content);
  if (result.success) return result.data;
  const faults = result.error.issues.map(
    (issue) => `${basename(path)}: ${issue.path.map(String).join('.')}: ${issue.message}`,
  );
  throw new Error(`The catalogue of parts cannot be used.\n${faults.join('\n')}`);
}
