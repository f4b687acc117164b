// Written set-ups with what must hold of the advice on them: how a case file reads, and the set-up, scores and proposals it stands for.

import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { readCatalogue } from '../../seed/catalogue.ts';
import { plainDate } from '../../src/calendar.ts';
import { CHECKS, type Collection, FITTING_KINDS, lampOf, READING_KINDS } from '../../src/collection.ts';
import { type Proposal, proposeUpgrades } from '../../src/proposals.ts';
import { type AnimalScore, DEFAULT_CHOICES, scoreAnimal } from '../../src/score.ts';
import { HIDE_ZONES, NEEDS, RULE_SETS } from '../../src/species.ts';
import { applyUpgrades } from '../../src/upgrades.ts';
import { library, makeAnimal, makeBox, makeFitting, makeReading } from './make.ts';

const day = z.string().regex(/^\d{4}-\d{2}-\d{2}$/);
const months = z.tuple([z.number().int(), z.number().int()]);

/** Picks proposals: each property given must fit. `fits` and `retires` name kinds of which one is enough. */
const whichProposal = z.strictObject({
  act: z.string().optional(),
  fits: z.array(z.enum(FITTING_KINDS)).optional(),
  retires: z.array(z.enum(FITTING_KINDS)).optional(),
  place: z.enum(HIDE_ZONES).optional(),
  boxTop: z.enum(['closed', 'mesh', 'open']).optional(),
  boxMaterial: z.enum(['glass', 'wood', 'pvc', 'acrylic', 'mesh', 'other']).optional(),
  boxShorterThanCm: z.number().optional(),
  /** Its own act or a change sets or predicts a reading above this. */
  aimsAbove: z.number().optional(),
  need: z.enum(NEEDS).optional(),
  free: z.boolean().optional(),
  urgent: z.boolean().optional(),
  fromMemory: z.boolean().optional(),
});

const statement = z.strictObject({
  /** The statement in a vet's words. */
  says: z.string().min(12),
  animal: z.number().int().optional(),
  need: z.enum(NEEDS).optional(),
  severe: z.boolean().optional(),
  unknown: z.boolean().optional(),
  band: z.enum(['far-short', 'part-way', 'near', 'meets']).optional(),
  atLeast: z.number().optional(),
  atMost: z.number().optional(),
  because: z.string().optional(),
  notBecause: z.string().optional(),
  citing: z.string().optional(),
  notScored: z.enum(NEEDS).optional(),
  season: z.enum(['active', 'cooling', 'winter-rest']).optional(),
  firstOfAll: whichProposal.optional(),
  firstToBuy: whichProposal.optional(),
  proposed: whichProposal.optional(),
  neverProposed: whichProposal.optional(),
});

const caseFile = z.strictObject({
  title: z.string().min(10),
  /** The text of law, of a vet or of research that the statements are read from, with its section. */
  source: z.string().min(20),
  on: day,
  ruleSets: z.array(z.enum(RULE_SETS)).optional(),
  box: z.strictObject({
    cm: z.tuple([z.number(), z.number(), z.number()]),
    material: z.enum(['glass', 'wood', 'pvc', 'acrylic', 'mesh', 'other']),
    top: z.enum(['closed', 'mesh', 'open']),
  }),
  animals: z
    .array(
      z.strictObject({
        species: z.string(),
        cm: z.number().nullable(),
        sex: z.enum(['female', 'male', 'unknown']).optional(),
        hatched: day.optional(),
        pale: z.boolean().optional(),
        cooling: months.optional(),
        winterRest: months.optional(),
      }),
    )
    .min(1),
  fitted: z.array(
    z.strictObject({
      kind: z.enum(FITTING_KINDS),
      id: z.string().optional(),
      place: z.enum(HIDE_ZONES).optional(),
      watts: z.number().optional(),
      hours: z.number().optional(),
      regulates: z.string().optional(),
      guards: z.string().optional(),
      outOfReach: z.boolean().optional(),
      lifeMonths: z.number().optional(),
      fittedOn: day.optional(),
      /** A tube's lit length, its UVI at 30 cm and how far above the basking place it hangs, all in cm. */
      tube: z.strictObject({ litCm: z.number(), uviAt30: z.number(), hangsCm: z.number() }).optional(),
      /** Height of a lamp or of the top of a basking place above the floor, cm; a lamp above the box's own height hangs over the top. */
      highCm: z.number().optional(),
      run: z.strictObject({ cm: z.tuple([z.number(), z.number()]), months, shade: z.boolean() }).optional(),
    }),
  ),
  read: z.partialRecord(z.enum(READING_KINDS), z.number()),
  failed: z.array(z.enum(CHECKS)).optional(),
  must: z.array(statement).min(2),
});

export type AdviceCase = z.infer<typeof caseFile>;
export type Statement = z.infer<typeof statement>;
export type WhichProposal = z.infer<typeof whichProposal>;

const folder = join(import.meta.dirname, '../cases/advice');

/** Every case with the name of its file. Throws where a file says something that no case may say. */
export function readAdviceCases(): (AdviceCase & { file: string })[] {
  return readdirSync(folder)
    .sort()
    .map((file) => {
      const parsed = caseFile.safeParse(JSON.parse(readFileSync(join(folder, file), 'utf8')));
      if (!parsed.success) throw new Error(`${file}: ${z.prettifyError(parsed.error)}`);
      return { ...parsed.data, file };
    });
}

/** The collection that a case describes: its one enclosure, readings taken on its day, every check answered well but those that failed. */
export function collectionOf(made: AdviceCase): Collection {
  const on = plainDate(made.on);
  const [lengthCm, depthCm, heightCm] = made.box.cm;
  const { material, top } = made.box;
  return {
    enclosures: [makeBox(lengthCm * 10, depthCm * 10, heightCm * 10, { material, top })],
    animals: made.animals.map(({ species, cm, sex, hatched, pale, cooling, winterRest }, place) =>
      makeAnimal(species, {
        id: `a${place}`,
        lengthMm: cm === null ? null : cm * 10,
        measuredOn: cm === null ? null : on,
        hatchedOn: hatched === undefined ? null : plainDate(hatched),
        sex: sex ?? 'unknown',
        paleMorph: pale ?? false,
        seasons: [...seasonOf('cooling', cooling), ...seasonOf('winter-rest', winterRest)],
      }),
    ),
    fittings: made.fitted.map((one, place) =>
      makeFitting(one.kind, {
        id: one.id ?? `f${place}`,
        name: `${one.kind} ${place}`,
        fittedOn: plainDate(one.fittedOn ?? '2025-02-01'),
        place: one.place ?? null,
        watts: one.watts ?? null,
        hoursPerDay: one.hours ?? null,
        regulates: one.regulates ?? null,
        guards: one.guards ?? null,
        outOfReach: one.outOfReach ?? false,
        lifeMonths: one.lifeMonths ?? null,
        lamp: one.tube === undefined ? null : lampOf(one.tube.litCm * 10, 300, one.tube.uviAt30),
        distanceMm: one.tube === undefined ? null : one.tube.hangsCm * 10,
        placed:
          one.highCm === undefined
            ? null
            : {
                xMm: lengthCm * 5,
                yMm: depthCm * 5,
                ...(one.kind === 'basking-place'
                  ? { zMm: 0, lengthMm: 200, depthMm: 200, heightMm: one.highCm * 10 }
                  : { zMm: one.highCm * 10, lengthMm: null, depthMm: null, heightMm: null }),
                turned: false,
              },
        outdoors:
          one.run === undefined
            ? null
            : {
                lengthMm: one.run.cm[0] * 10,
                depthMm: one.run.cm[1] * 10,
                fromMonth: one.run.months[0],
                toMonth: one.run.months[1],
                shade: one.run.shade,
              },
      }),
    ),
    readings: READING_KINDS.flatMap((kind) => {
      const value = made.read[kind];
      return value === undefined ? [] : [makeReading(kind, value, { takenOn: on })];
    }),
    answers: CHECKS.map((check) => ({
      enclosureId: '1',
      check,
      answer: made.failed?.includes(check) ? ('no' as const) : ('yes' as const),
      answeredOn: on,
    })),
  };
}

function seasonOf(season: 'cooling' | 'winter-rest', span: [number, number] | undefined) {
  return span === undefined ? [] : [{ season, fromMonth: span[0], toMonth: span[1] }];
}

/** The scores of everyone in a collection on the day of its case. */
export function scoresOf(made: AdviceCase, collection: Collection): AnimalScore[] {
  const on = plainDate(made.on);
  const choices = made.ruleSets === undefined ? DEFAULT_CHOICES : { ...DEFAULT_CHOICES, ruleSets: made.ruleSets };
  return collection.animals.map((animal) => scoreAnimal(animal, { collection, library, choices, on, knownOn: on })!);
}

/** What is proposed for a collection on the day of its case. */
export function proposalsFor(made: AdviceCase, collection: Collection): Proposal[] {
  return proposeUpgrades({
    collection,
    library,
    choices: made.ruleSets === undefined ? DEFAULT_CHOICES : { ...DEFAULT_CHOICES, ruleSets: made.ruleSets },
    parts: readCatalogue(),
    rooms: [],
    currency: { code: 'EUR', decimals: 2 },
    powerPrice: 0.24,
    on: plainDate(made.on),
  });
}

/** The collection as it would be with one proposal fitted. */
export function fittedOnPaper(made: AdviceCase, collection: Collection, proposal: Proposal): Collection {
  const upgrade = { ...proposal.upgrade, id: 'p', name: '', status: 'wanted', origin: 'proposed', note: '' } as const;
  return applyUpgrades(collection, [upgrade], plainDate(made.on));
}

/** Whether a proposal is one that is meant. */
export function isMeant(proposal: Proposal, which: WhichProposal, collection: Collection): boolean {
  const { changes } = proposal.upgrade;
  const fits = changes.flatMap((one) => (one.change === 'fit' ? [one.fitting] : []));
  const boxes = changes.flatMap((one) => (one.change === 'replace-box' ? [one] : []));
  const retired = changes.flatMap((one) =>
    one.change === 'retire' ? collection.fittings.filter(({ id }) => id === one.fittingId) : [],
  );
  const aims = changes.flatMap((one) =>
    one.change === 'predict' ? [one.value] : one.change === 'fit' ? one.fitting.expects.map(({ value }) => value) : [],
  );
  const given = <T>(value: T | undefined, holds: (value: T) => boolean) => value === undefined || holds(value);
  return (
    given(which.act, (act) => proposal.act.act === act) &&
    given(which.fits, (kinds) => fits.some(({ kind }) => kinds.includes(kind))) &&
    given(which.retires, (kinds) => retired.some(({ kind }) => kinds.includes(kind))) &&
    given(which.place, (place) => fits.some((one) => one.place === place)) &&
    given(which.boxTop, (top) => boxes.some((one) => one.top === top)) &&
    given(which.boxMaterial, (material) => boxes.some((one) => one.material === material)) &&
    given(which.boxShorterThanCm, (cm) => boxes.some((one) => Math.max(one.lengthMm, one.depthMm) < cm * 10)) &&
    given(which.aimsAbove, (limit) => aims.some((value) => value > limit)) &&
    given(which.need, (need) => proposal.need === need) &&
    given(which.free, (free) => proposal.isFree === free) &&
    given(which.urgent, (urgent) => proposal.isUrgent === urgent) &&
    given(which.fromMemory, (fromMemory) => proposal.isFromMemory === fromMemory)
  );
}
