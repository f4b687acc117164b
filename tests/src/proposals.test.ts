import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { readCareLibrary } from '../../seed/library.ts';
import { addMonths, monthOf, monthOfYear, plainDate, plainMonth } from '../../src/calendar.ts';
import type {
  Animal,
  Answer,
  BoxBuild,
  Collection,
  Enclosure,
  Fitting,
  FittingKind,
  ReadingKind,
} from '../../src/collection.ts';
import { CHECKS, HEATERS, lampOf, UNKNOWN_BUILD } from '../../src/collection.ts';
import { evaluateSchedule } from '../../src/evaluate.ts';
import { buildProblem } from '../../src/ledger-problem.ts';
import { uviOnAxis } from '../../src/light.ts';
import { money } from '../../src/money.ts';
import { bestPlan } from '../../src/planner.ts';
import type { Proposal } from '../../src/proposals.ts';
import { proposeUpgrades, surveyUpgrades } from '../../src/proposals.ts';
import type { Proposing } from '../../src/remedies.ts';
import type { Room } from '../../src/rooms.ts';
import { DEFAULT_CHOICES, scoreAnimal } from '../../src/score.ts';
import type { HideZone } from '../../src/species.ts';
import { findSpecies } from '../../src/species.ts';
import { applyUpgrades, type Upgrade } from '../../src/upgrades.ts';
import { makeFacts, makeFitting, makeReading } from '../support/make.ts';

const library = readCareLibrary();
const parts = readCatalogue();
const on = plainDate('2026-06-10');
const euro = { code: 'EUR', decimals: 2 };

type Made = {
  speciesId: string;
  lengthMm?: number;
  size?: [number, number, number];
  top?: Enclosure['top'];
  fittings?: { kind: FittingKind; more?: Partial<Fitting> }[];
  readings?: Partial<Record<ReadingKind, number>>;
  failed?: Answer['check'][];
  animals?: number;
};

function collectionOf(made: Made): Collection {
  const [lengthMm, depthMm, heightMm] = made.size ?? [900, 450, 450];
  const enclosure: Enclosure = {
    id: 'e',
    name: 'Box',
    lengthMm,
    depthMm,
    heightMm,
    material: 'wood',
    top: made.top ?? 'closed',
    boxSince: plainDate('2025-01-01'),
    build: UNKNOWN_BUILD,
  };
  const animals = Array.from(
    { length: made.animals ?? 1 },
    (_, index): Animal => ({
      id: `a${index}`,
      name: `Animal ${index}`,
      speciesId: made.speciesId,
      enclosureId: 'e',
      lengthMm: made.lengthMm ?? findSpecies(library, made.speciesId).adultSize.lowMm,
      measuredOn: on,
      hatchedOn: null,
      sex: 'unknown',
      paleMorph: false,
      seasons: [],
    }),
  );
  const fittings = (made.fittings ?? []).map(({ kind, more }, index) =>
    makeFitting(kind, {
      ...{ id: `f${index}`, name: `${kind} ${index}`, enclosureId: 'e', fittedOn: plainDate('2025-02-01') },
      ...more,
    }),
  );
  const readings = Object.entries(made.readings ?? {}).map(([kind, value], index) =>
    makeReading(kind as ReadingKind, value, { id: `r${index}`, enclosureId: 'e', takenOn: on }),
  );
  const answers = CHECKS.map(
    (check): Answer => ({
      enclosureId: 'e',
      check,
      answer: made.failed?.includes(check) ? 'no' : 'yes',
      answeredOn: on,
    }),
  );
  return { animals, enclosures: [enclosure], fittings, readings, answers };
}

function propose(collection: Collection, more: Partial<Proposing> = {}): Proposal[] {
  return proposeUpgrades({
    collection,
    library,
    choices: DEFAULT_CHOICES,
    rooms: [],
    parts,
    currency: euro,
    powerPrice: 0.24,
    on,
    ...more,
  });
}

function fittedKinds(proposal: Proposal): FittingKind[] {
  return proposal.upgrade.changes.flatMap((change) => (change.change === 'fit' ? [change.fitting.kind] : []));
}

function withFitted(collection: Collection, proposal: Proposal): Collection {
  return applyUpgrades(
    collection,
    [{ ...proposal.upgrade, id: 'p', name: '', status: 'wanted', origin: 'proposed', note: '' }],
    on,
  );
}

function scoresOf(collection: Collection) {
  return collection.animals.map(
    (animal) => scoreAnimal(animal, { collection, library, choices: DEFAULT_CHOICES, on, knownOn: on })!,
  );
}

/** Set-ups of every species in the library: bare, half fitted and faulty ones, in small and large boxes. */
function manySetups(): Made[] {
  return library.species.flatMap((species): Made[] => {
    const warm = species.temperatures.find(
      (one) => one.kind === 'hot-spot-surface' || one.kind === 'warm-hide-floor' || one.kind === 'warm-air',
    );
    const readings: Partial<Record<ReadingKind, number>> = { 'cool-end-air': 22, 'night-air': 19, 'humidity-day': 55 };
    const kind = warm?.kind as ReadingKind | undefined;
    const zones: HideZone[] = species.hides.zones.slice(0, 1);
    const hides = zones.map((place) => ({ kind: 'hide' as const, more: { place } }));
    return [
      { speciesId: species.id },
      {
        speciesId: species.id,
        size: [600, 450, 450],
        top: 'mesh',
        fittings: [...hides, { kind: 'heat-mat', more: { watts: 14 } }],
        readings,
        failed: ['smoke-alarm'],
      },
      {
        speciesId: species.id,
        size: [1200, 600, 600],
        fittings: [
          ...hides,
          { kind: 'basking-lamp', more: { watts: 75 } },
          {
            kind: 'uv-tube',
            more: {
              lamp: lampOf(550, 300, 3),
              distanceMm: 200,
              lifeMonths: 12,
              watts: 24,
              hoursPerDay: 16,
            },
          },
        ],
        readings: {
          ...readings,
          ...(kind === undefined || warm === undefined ? {} : { [kind]: warm.high + 6 }),
          'humidity-day': 90,
        },
        failed: ['escape-proof', 'drip-loop'],
      },
      {
        speciesId: species.id,
        size: [700, 400, 500],
        top: 'open',
        fittings: [
          { kind: 'ceramic-heater', more: { watts: 60, outOfReach: true } },
          { kind: 'rock-heater', more: { watts: 10 } },
        ],
        readings: {
          ...readings,
          ...(kind === undefined || warm === undefined ? {} : { [kind]: warm.low - 6 }),
          'humidity-day': 15,
        },
        animals: 1,
      },
    ];
  });
}

/** What is proposed for each of them; worked out once, since it takes long. */
let proposedEverywhere: { made: Made; collection: Collection; proposals: Proposal[] }[] | null = null;
function everywhere() {
  proposedEverywhere ??= manySetups().map((made) => {
    const collection = collectionOf(made);
    return { made, collection, proposals: propose(collection) };
  });
  return proposedEverywhere;
}

describe('what is proposed', () => {
  test('an unregulated heat mat draws a thermostat that switches and is rated for it, and the fault is gone once it is fitted', () => {
    const collection = collectionOf({
      speciesId: 'leopard-gecko',
      fittings: [{ kind: 'heat-mat', more: { watts: 28 } }],
      readings: { 'warm-hide-floor': 41, 'cool-end-air': 23, 'night-air': 20 },
    });
    const kit = propose(collection).find((one) => fittedKinds(one).includes('thermostat'))!;
    expect(kit.because[0]).toMatchObject({ why: 'heater-unregulated' });
    const before = scoresOf(collection)[0]!.needs;
    const after = scoresOf(withFitted(collection, kit))[0]!.needs;
    expect(before.find((one) => one.need === 'safety')).toMatchObject({ severe: true, value: 0 });
    expect(after.find((one) => one.need === 'safety')!.severe).toBe(false);
    expect(after.find((one) => one.need === 'heat')!.value).toBeGreaterThan(
      before.find((one) => one.need === 'heat')!.value,
    );
  });

  test('free actions stand before every purchase', () => {
    const proposals = everywhere().map((one) => one.proposals);
    let mixed = 0;
    for (const list of proposals) {
      const firstBought = list.findIndex((one) => !one.isFree);
      if (firstBought > 0) mixed += 1;
      if (firstBought !== -1) expect(list.slice(firstBought).every((one) => !one.isFree)).toBe(true);
      for (const one of list.filter((each) => each.isFree)) expect(one.upgrade.priceHigh).toBe(0);
    }
    expect(mixed).toBeGreaterThan(20);
  });

  test('every heater comes as a whole kit: with a thermostat that works on it, and where it is hot with a holder and a guard', () => {
    let [heaters, hot] = [0, 0];
    for (const { made, proposals } of everywhere()) {
      for (const proposal of proposals) {
        const kinds = fittedKinds(proposal);
        if (!kinds.some((kind) => HEATERS.has(kind))) continue;
        heaters += 1;
        const fits = proposal.upgrade.changes.flatMap((change) => (change.change === 'fit' ? [change.fitting] : []));
        const heater = fits.find((one) => HEATERS.has(one.kind))!;
        expect(fits.some((one) => one.kind === 'thermostat' && one.regulates === heater.key)).toBe(true);
        const bought = proposal.act.act === 'kit' ? proposal.act.parts : [];
        const named = (what: string) =>
          parts.parts.find((one) => bought.some((each) => each.name === one.name && one.what === what));
        if (proposal.act.act === 'kit') {
          const thermostat = named('thermostat')!;
          if (thermostat.what !== 'thermostat') throw new Error('a part of another kind');
          expect(thermostat.controls.maxWatts).toBeGreaterThanOrEqual(heater.watts!);
          expect(thermostat.controls.by).toBe(
            { 'heat-mat': 'switching', 'ceramic-heater': 'pulse', 'basking-lamp': 'dimming' }[heater.kind as string],
          );
        }
        if (heater.kind === 'heat-mat') continue;
        hot += 1;
        const holder = named('fixture')!;
        if (holder.what !== 'fixture' || holder.fixture.holds !== 'screw-cap') throw new Error('no holder');
        expect(holder.fixture.maxWatts).toBeGreaterThanOrEqual(heater.watts!);
        expect(holder.fixture.ceramic || heater.kind !== 'ceramic-heater').toBe(true);
        // Only above a mesh is it out of reach.
        expect(heater.outOfReach && made.top !== 'mesh').toBe(false);
        expect(fits.some((one) => one.kind === 'guard' && one.guards === heater.key)).toBe(!heater.outOfReach);
      }
    }
    expect(heaters).toBeGreaterThan(10);
    expect(hot).toBeGreaterThan(5);
  });

  test('an animal that lives in water is offered no box but a tank of glass, and no basin to swim in', () => {
    const swimmers = library.species.filter(({ habit }) => habit === 'aquatic');
    let tanks = 0;
    for (const { id } of swimmers) {
      for (const share of [0.3, 1, 1.2]) {
        const lengthMm = share * findSpecies(library, id).adultSize.highMm;
        const list = propose(collectionOf({ speciesId: id, size: [400, 250, 250], lengthMm }));
        expect(
          list.some((one) => fittedKinds(one).includes('pool')),
          id,
        ).toBe(false);
        for (const change of list.flatMap(({ upgrade }) => upgrade.changes)) {
          if (change.change !== 'replace-box') continue;
          tanks += 1;
          expect(change, id).toMatchObject({ material: 'glass', top: 'open' });
        }
      }
    }
    expect(swimmers.length).toBeGreaterThanOrEqual(6);
    expect(tanks).toBeGreaterThan(5);
  });

  test('a contact rock heater is taken out and never proposed, nor cardboard where it is warm', () => {
    let takenOut = 0;
    for (const { proposals } of everywhere()) {
      for (const proposal of proposals) {
        expect(fittedKinds(proposal)).not.toContain('rock-heater');
        // Nothing that burns is put where it is warmed.
        if (proposal.act.act === 'home-made-hide') expect(proposal.act.place).not.toBe('warm');
        if (proposal.act.act === 'take-out') takenOut += 1;
      }
    }
    expect(takenOut).toBe(library.species.length);
  });

  // Must hold for a tree frog (Austria, 2. Tierhaltungsverordnung § 6(4): heat-sensitive tropical amphibians never permanently above 26 °C).
  test('a tree frog at the warm limit never draws a heater, nor does any amphibian without a reading that is too low', () => {
    const warm = collectionOf({
      speciesId: 'whites-tree-frog',
      size: [450, 450, 600],
      readings: { 'warm-air': 26, 'cool-end-air': 24, 'night-air': 21 },
    });
    const unread = collectionOf({ speciesId: 'whites-tree-frog', size: [450, 450, 600] });
    for (const collection of [warm, unread]) {
      const proposals = propose(collection);
      expect(proposals.length).toBeGreaterThan(0);
      expect(proposals.flatMap(fittedKinds).filter((kind) => HEATERS.has(kind))).toEqual([]);
    }
  });

  test('a tortoise is first offered its outdoor season, and never height or novelty', () => {
    const proposals = propose(collectionOf({ speciesId: 'hermanns-tortoise', size: [1000, 500, 400], top: 'open' }));
    const purchases = proposals.filter((one) => !one.isFree);
    expect(purchases[0]!.act).toMatchObject({ act: 'outdoor-run' });
    expect(proposals.flatMap(fittedKinds)).not.toContain('branches');
    expect(proposals.flatMap(fittedKinds)).not.toContain('novelty');
  });

  // The notes of the chameleons in the library: dense leaves that hide the whole animal; out of doors in a mesh cage, in the warm months only.
  test('a chameleon is offered leaves to hide in and a cage out of doors, and no run in winter', () => {
    const bare = collectionOf({ speciesId: 'panther-chameleon', size: [600, 500, 900], top: 'mesh' });
    const summer = propose(bare);
    expect(summer.flatMap(fittedKinds).filter((kind) => kind === 'hide')).toEqual([]);
    expect(summer.flatMap(fittedKinds)).toContain('plants');
    expect(summer.filter(({ act }) => act.act === 'outdoor-run').map(({ act }) => 'part' in act && act.part)).toEqual([
      expect.stringMatching(/^Mesh cage/),
    ]);
    expect(propose(bare, { on: plainDate('2026-11-27') }).filter(({ act }) => act.act === 'outdoor-run')).toEqual([]);
    const leafy = collectionOf({
      ...{ speciesId: 'panther-chameleon', size: [600, 500, 900], top: 'mesh' },
      fittings: (['high', 'cool'] as const).map((place) => ({ kind: 'plants' as const, more: { place } })),
    });
    expect(scoresOf(leafy)[0]!.needs.find(({ need }) => need === 'hides')?.value).toBe(100);
  });

  test('a closed top over a chameleon is a shortfall, and mesh is none', () => {
    const whys = (top: 'mesh' | 'closed') =>
      scoresOf(collectionOf({ speciesId: 'jacksons-chameleon', top })).flatMap(({ needs }) =>
        needs.flatMap(({ reasons }) => reasons.map(({ reason }) => reason.why)),
      );
    expect(whys('closed')).toContain('still-air');
    expect(whys('mesh')).not.toContain('still-air');
  });

  test('a box in which no tube of the list finds room says so', () => {
    const { unanswered } = surveyUpgrades({
      ...{ library, choices: DEFAULT_CHOICES, rooms: [], parts, currency: euro, powerPrice: 0.24, on },
      collection: collectionOf({ speciesId: 'jacksons-chameleon', size: [500, 500, 900], top: 'mesh' }),
    });
    expect(unanswered.filter(({ need }) => need === 'uv').map(({ no }) => no)).toMatchObject([
      { why: 'tubes-too-long', boxMm: 500 },
    ]);
  });

  test('mesh is covered to keep warmth in only where something makes it', () => {
    const cold = (fittings: NonNullable<Made['fittings']>) =>
      propose(
        collectionOf({
          ...{ speciesId: 'crested-gecko', size: [450, 450, 600], top: 'mesh', fittings },
          readings: { 'warm-air': 15, 'cool-end-air': 14, 'night-air': 12 },
        }),
      ).filter(({ act, because }) => act.act === 'close-top' && because.length > 0);
    expect(cold([])).toEqual([]);
    expect(cold([{ kind: 'heat-mat', more: { watts: 14 } }])).not.toEqual([]);
  });

  test('what may have no heater in its box and was read too cold is told how warm the room must be held, and never a heater', () => {
    for (const [speciesId, kind] of [
      ['crested-gecko', 'night-air'],
      ['whites-tree-frog', 'night-air'],
      ['axolotl', 'water'],
    ] as const) {
      const target = findSpecies(library, speciesId).temperatures.find((one) => one.kind === kind)!;
      const cold = collectionOf({ speciesId, readings: { [kind]: target.low - 6 } });
      const survey = surveyUpgrades({
        ...{ collection: cold, library, choices: DEFAULT_CHOICES, rooms: [], parts, currency: euro },
        ...{ powerPrice: 0.24, on },
      });
      expect(survey.proposals.flatMap(fittedKinds).filter((one) => HEATERS.has(one))).toEqual([]);
      const why = survey.unanswered.map(({ no }) => no).filter((no) => no.why === 'room-must-warm');
      expect(why, speciesId).toContainEqual(expect.objectContaining({ kind, celsius: target.low }));
    }
  });

  test('a species that needs moving air is never offered a closed box', () => {
    const proposals = propose(collectionOf({ speciesId: 'veiled-chameleon', size: [450, 450, 600], top: 'mesh' }));
    const boxes = proposals.flatMap((one) => one.upgrade.changes).filter((change) => change.change === 'replace-box');
    expect(boxes.length).toBeGreaterThan(0);
    for (const box of boxes) expect(box.top).not.toBe('closed');
  });

  test('a proposed UV tube hangs inside the box and gives what is right in every zone that a source names', () => {
    let tubes = 0;
    for (const { made, collection, proposals } of everywhere()) {
      for (const proposal of proposals) {
        if (proposal.act.act !== 'kit' || proposal.act.uvi === null) continue;
        tubes += 1;
        const { uvi, distanceMm } = proposal.act;
        const [box] = collection.enclosures;
        // Over a lid it hangs at most a hand above, where it does not shine into the room.
        expect(distanceMm!).toBeLessThan(box!.heightMm + (box!.top === 'mesh' ? 150 : 0));
        for (const { zone } of findSpecies(library, made.speciesId).uv.zones) {
          const band = library.uvZones.find((one) => one.zone === zone)!;
          expect(uvi).toBeGreaterThanOrEqual(band.meanLow);
          // A ceiling is the highest reading from the field (Ferguson and others, 2010), and single lamps differ by a fifth.
          expect(uvi).toBeLessThanOrEqual(0.8 * Math.min(...band.ceilings.map((one) => one.uvi)) + 0.05);
        }
      }
    }
    expect(tubes).toBeGreaterThan(5);
  });

  // Zone 1 has a mean band up to UVI 0.7 and a highest reading of 1.4.
  test('a python on the floor of a low box is offered no tube that passes the band of its zone', () => {
    const proposals = propose(collectionOf({ speciesId: 'royal-python', size: [800, 500, 400], top: 'closed' }));
    const tubes = proposals.flatMap((one) => (one.act.act === 'kit' && one.act.uvi !== null ? [one.act.uvi] : []));
    for (const uvi of tubes) expect(uvi).toBeLessThanOrEqual(0.7);
    // In a box twice as high one hangs far enough away.
    const high = propose(collectionOf({ speciesId: 'royal-python', size: [1200, 600, 900], top: 'closed' }));
    expect(high.some((one) => one.act.act === 'kit' && one.act.uvi !== null && one.act.uvi <= 0.7)).toBe(true);
  });

  test('a 60 cm box with a mesh top gets a tube that shines through it, right when new and at the end of its life where that is possible', () => {
    const kits = propose(collectionOf({ speciesId: 'bearded-dragon', size: [600, 450, 450], top: 'mesh' })).filter(
      (one) => one.act.act === 'kit' && one.act.uvi !== null,
    );
    expect(kits).toHaveLength(1);
    const tube = kits[0]!.upgrade.changes.flatMap((one) =>
      one.change === 'fit' && one.fitting.kind === 'uv-tube' ? [one.fitting] : [],
    )[0]!;
    // Over a mesh a fixture may stand out; what is lit may not. The mesh passes 80 % (common practice, no source).
    expect(tube.lamp!.litLengthMm).toBeLessThanOrEqual(600);
    expect(tube.meshShare).toBe(0.8);
    const fresh = uviOnAxis(tube.lamp!, tube.distanceMm!) * 0.8;
    // Ferguson zones 3 and 4 in the library: a lower end of 1.0 and 2.6.
    const band = library.uvZones.filter((one) =>
      findSpecies(library, 'bearded-dragon').uv.zones.some((each) => each.zone === one.zone),
    );
    expect(fresh).toBeGreaterThanOrEqual(Math.max(...band.map((one) => one.meanLow)));
    expect(tube.distanceMm).toBeGreaterThanOrEqual(150);
  });

  test('a lamp is hung by what was read under it, through its mesh and guard and with its chart set aside', () => {
    const lamp = lampOf(550, 300, 3, { more: [{ atMm: 150, uvi: 9 }] });
    const made: Made = {
      speciesId: 'bearded-dragon',
      size: [1200, 600, 600],
      fittings: [
        { kind: 'uv-tube', more: { lamp, distanceMm: 500, meshShare: 0.7, hoursPerDay: 12 } },
        { kind: 'guard', more: { guards: 'f0' } },
        { kind: 'hide', more: { place: 'cool' } },
      ],
      readings: { 'uvi-basking': 0.9 },
    };
    const act = propose(collectionOf(made))
      .map((one) => one.act)
      .find((one) => one.act === 'move-lamp');
    if (act?.act !== 'move-lamp') throw new Error('nothing moves the lamp');
    // A diffuse line source (Keitz 1971, from memory): (2a + sin 2a) / 2d. What it wants is a fixed multiple of what was read.
    const shape = (d: number) => {
      const a = Math.atan(550 / (2 * d));
      return (2 * a + Math.sin(2 * a)) / (2 * d);
    };
    const there = (0.9 * shape(act.distanceMm)) / shape(500);
    expect(there).toBeGreaterThan(1);
    expect(there).toBeLessThan(7.4);
  });

  test('a box beyond a critical limit is cooled before anything else, beside a thermostat too, and each action shows its effect', () => {
    const collection = collectionOf({
      speciesId: 'corn-snake',
      lengthMm: 1000,
      size: [1200, 600, 600],
      fittings: [
        { kind: 'heat-mat', more: { watts: 28 } },
        { kind: 'thermostat', more: { regulates: 'f0' } },
        { kind: 'hide', more: { place: 'warm' } },
      ],
      readings: { 'warm-hide-floor': 41, 'cool-end-air': 22 },
    });
    const [first] = propose(collection);
    expect(first).toMatchObject({ isFree: true, isUrgent: true, act: { act: 'set-thermostat' } });
    expect(first!.upgrade.group).toBeNull();
    const heat = (given: Collection) => scoresOf(given)[0]!.needs.find((one) => one.need === 'heat')!;
    // The band of a warm hide's floor is from memory: a floor that burns is severe all the same.
    expect(heat(collection)).toMatchObject({ low: 0, severe: true });
    expect(heat(withFitted(collection, first!)).value).toBeGreaterThan(heat(collection).value);
  });

  test('a frog that is too warm is offered shade, moving air and a cooler room, and no heater', () => {
    const species = findSpecies(library, 'fire-bellied-toad');
    const target = species.temperatures.find((one) => one.kind === 'warm-air' || one.kind === 'cool-end-air')!;
    const proposals = propose(
      collectionOf({ speciesId: species.id, size: [900, 450, 450], readings: { [target.kind]: target.high + 4 } }),
    );
    const ways = proposals.flatMap(({ act }) => (act.act === 'cool-by' ? [act.way] : []));
    expect(ways).toEqual(['shade', 'fan', 'move']);
    const bought = proposals.filter((one) => fittedKinds(one).includes('fan'));
    expect(bought).toHaveLength(1);
    // After all that is free, and only one way at a time.
    expect(proposals.indexOf(bought[0]!)).toBeGreaterThan(proposals.findLastIndex((one) => one.isFree));
    const free = proposals.find((one) => one.act.act === 'cool-by')!;
    expect(bought[0]!.upgrade.group).toBe(free.upgrade.group);
    expect(bought[0]!.upgrade.changes).toMatchObject([
      { fitting: { kind: 'fan', expects: [{ value: target.high + 2 }] } },
    ]);
    const heaters = new Set<FittingKind>([
      'heat-mat',
      'ceramic-heater',
      'basking-lamp',
      'radiant-panel',
      'water-heater',
    ]);
    expect(proposals.flatMap(fittedKinds).filter((kind) => heaters.has(kind))).toEqual([]);
  });

  test('water that is too warm for a toad is offered a chiller set to its limit, after all that is free, and no heater', () => {
    const species = findSpecies(library, 'fire-bellied-toad');
    const { high } = species.temperatures.find((one) => one.kind === 'water')!;
    const proposals = propose(collectionOf({ speciesId: species.id, readings: { water: high + 5 } }));
    const chillers = proposals.filter((one) => fittedKinds(one).includes('chiller'));
    expect(chillers).toHaveLength(1);
    expect(chillers[0]!.upgrade.changes).toMatchObject([{ fitting: { expects: [{ reading: 'water', value: high }] } }]);
    expect(proposals.indexOf(chillers[0]!)).toBeGreaterThan(proposals.findLastIndex((one) => one.isFree));
    expect(proposals.flatMap(fittedKinds).filter((kind) => HEATERS.has(kind))).toEqual([]);
  });

  test('no box is proposed that does not go into the space there is for it, walls of 2 cm a side counted', () => {
    const collection = collectionOf({ speciesId: 'corn-snake', lengthMm: 1300, size: [900, 450, 450] });
    const sizes = (mostLengthMm: number | null) => {
      const enclosures = collection.enclosures.map((one) => ({
        ...one,
        build: { ...one.build, mostLengthMm, mostDepthMm: mostLengthMm },
      }));
      return propose({ ...collection, enclosures })
        .flatMap((one) => one.upgrade.changes)
        .flatMap((one) => (one.change === 'replace-box' ? [Math.max(one.lengthMm, one.depthMm)] : []));
    };
    expect(Math.max(...sizes(null))).toBeGreaterThan(1210);
    for (const length of sizes(1250)) expect(length).toBeLessThanOrEqual(1210);
  });

  test('a snake too long for its box is offered one that it can stretch out in', () => {
    const proposals = propose(collectionOf({ speciesId: 'corn-snake', lengthMm: 1300, size: [900, 450, 450] }));
    const boxes = proposals.flatMap((one) => one.upgrade.changes).filter((change) => change.change === 'replace-box');
    // Warwick et al. 2021, Animals 11(5):1459: full stretch is a minimum.
    expect(boxes.some((box) => Math.max(box.lengthMm, box.depthMm) >= 1300)).toBe(true);
  });

  test('a box that gives less than is asked for says that it is a step and what it lacks, and the plan weighs it against the whole one', async () => {
    const collection = collectionOf({ speciesId: 'royal-python', lengthMm: 1300, size: [800, 400, 400] });
    const boxes = propose(collection).filter(({ act }) => act.act === 'box');
    const stepOf = ({ act }: Proposal) => (act.act === 'box' ? act.step : null);
    const [whole, step] = [boxes.find((one) => stepOf(one) === null)!, boxes.find((one) => stepOf(one) !== null)!];
    expect(stepOf(step)!.ratio).toBeLessThan(1);
    expect(step.upgrade.priceHigh).toBeLessThan(whole.upgrade.priceHigh);
    const planned = async (sum: number, openingCash: number) => {
      const months = 8;
      const upgrades = [whole, step].map(
        (one): Upgrade => ({
          ...one.upgrade,
          ...{ id: one.key, name: one.key, status: 'wanted', origin: 'proposed', note: '' },
        }),
      );
      const facts = makeFacts({ collection, upgrades, months, planDate: on, firstMonth: plainMonth('2026-06') });
      const income = Array.from({ length: months }, () => money(sum));
      const built = buildProblem({ ...facts, money: { ...facts.money, openingCash: money(openingCash), income } });
      expect(built.leftOut).toEqual([]);
      const answer = await bestPlan(built.problem, { rounds: 20, exact: 'full' });
      if (!('buys' in answer)) throw new Error(answer.status);
      return answer.buys;
    };
    const [wholeCost, stepCost] = [whole.upgrade.priceHigh, step.upgrade.priceHigh];
    // Both can be paid at once: the whole one gives more from the same month on.
    expect(await planned(0, wholeCost)).toEqual([{ purchase: whole.key, month: 0 }]);
    // The whole one could only be paid in the last month; until then the step gives more room.
    const late = Math.ceil((wholeCost - stepCost) / 8);
    expect(await planned(late, stepCost)).toEqual([{ purchase: step.key, month: 0 }]);
  });

  test('a larger box that its heat cannot carry through the winter comes with a heater, a thermostat and a guard', () => {
    const small = collectionOf({
      speciesId: 'corn-snake',
      lengthMm: 1300,
      size: [900, 450, 450],
      fittings: [{ kind: 'heat-mat', more: { watts: 14, hoursPerDay: 24 } }],
      readings: { 'cool-end-air': 22, 'night-air': 20 },
    });
    const [home] = small.enclosures;
    const collection = { ...small, enclosures: [{ ...home!, build: { ...UNKNOWN_BUILD, roomId: 'r' } }] };
    const boxesIn = (celsius: number) =>
      propose(collection, {
        rooms: [{ id: 'r', name: 'Room', coldest: { celsius, month: 1 }, hottest: null }],
      }).filter((one) => one.act.act === 'box');
    const cold = boxesIn(18);
    // In a room of 8 °C nothing of the list holds it, so no box is proposed.
    expect(boxesIn(8)).toEqual([]);
    expect(cold.length).toBeGreaterThan(0);
    for (const one of cold) {
      expect(fittedKinds(one), one.key).toEqual(expect.arrayContaining(['ceramic-heater', 'thermostat', 'guard']));
    }
    for (const one of boxesIn(24)) expect(fittedKinds(one), one.key).not.toContain('ceramic-heater');
  });

  test('nobody is offered a second box when the first is large enough', () => {
    const proposals = propose(collectionOf({ speciesId: 'leopard-gecko', lengthMm: 125, size: [900, 600, 450] }));
    expect(proposals.filter((one) => one.act.act === 'box')).toEqual([]);
  });

  test('one smoke alarm is proposed for the whole room and counts in each enclosure that lacks it', () => {
    const first = collectionOf({
      speciesId: 'leopard-gecko',
      failed: ['smoke-alarm'],
      fittings: [{ kind: 'heat-mat', more: { watts: 14 } }],
    });
    const second = { ...first.enclosures[0]!, id: 'e2' };
    const collection: Collection = {
      ...first,
      enclosures: [first.enclosures[0]!, second],
      animals: [...first.animals, { ...first.animals[0]!, id: 'b', enclosureId: 'e2' }],
      fittings: [...first.fittings, { ...first.fittings[0]!, id: 'f9', enclosureId: 'e2' }],
      answers: [...first.answers, ...first.answers.map((one) => ({ ...one, enclosureId: 'e2' }))],
    };
    const alarms = propose(collection).filter((one) =>
      one.upgrade.changes.some((change) => change.change === 'answer' && change.check === 'smoke-alarm'),
    );
    expect(alarms).toHaveLength(1);
    expect(alarms[0]!.animalIds).toEqual(['a0', 'b']);
    expect(alarms[0]!.upgrade.changes).toHaveLength(2);
  });

  test('in a currency that the catalogue does not know there is no price to believe', () => {
    const collection = collectionOf({
      speciesId: 'leopard-gecko',
      fittings: [{ kind: 'heat-mat', more: { watts: 14 } }],
    });
    const bought = propose(collection, { currency: { code: 'SEK', decimals: 2 } }).filter((one) => !one.isFree);
    expect(bought.length).toBeGreaterThan(0);
    for (const one of bought) expect(one).toMatchObject({ priced: false, upgrade: { priceHigh: 0 } });
  });

  test('power is priced from watts, hours and tariff, is unknown without a tariff, and is nothing when another purse pays', () => {
    const collection = collectionOf({ speciesId: 'bearded-dragon', size: [1200, 600, 600] });
    const tube = (more: Partial<Proposing>) =>
      propose(collection, more).find((one) => fittedKinds(one).includes('uv-tube'))!;
    // 24 W for 12 h a day over a mean month is 8.766 kWh (Gregorian mean month, 30.436875 days).
    const hours = tube({}).upgrade.changes.flatMap((change) =>
      change.change === 'fit' && change.fitting.kind === 'uv-tube' ? [change.fitting] : [],
    )[0]!;
    const kwh = (hours.watts! * hours.hoursPerDay! * 30.436875) / 1000;
    expect(tube({}).upgrade.monthlyCost).toBe(Math.ceil(kwh * 24));
    expect(tube({ powerPrice: null })).toMatchObject({ powerKnown: false });
    expect(tube({ powerPrice: 'not-ours' })).toMatchObject({ powerKnown: true, upgrade: { monthlyCost: 0 } });
  });

  test('no proposal worsens another need unseen: what falls is told, and how', () => {
    let [tried, told] = [0, 0];
    for (const { made, collection, proposals } of everywhere()) {
      const before = scoresOf(collection);
      for (const proposal of proposals) {
        tried += 1;
        scoresOf(withFitted(collection, proposal)).forEach((after, index) => {
          for (const need of after.needs) {
            const old = before[index]!.needs.find((one) => one.need === need.need)!;
            const tells = proposal.lowers.find((one) => one.need === need.need && one.animalId === after.animalId);
            if (need.value <= old.value - 0.5 || (need.severe && !old.severe)) {
              told += 1;
              expect(tells, `${made.speciesId} ${proposal.key} ${need.need}`).toMatchObject({
                from: old.value,
                to: need.value,
                severe: need.severe && !old.severe,
              });
            } else expect(tells).toBeUndefined();
            // Taking out the only heater leaves nothing that heats, and the score says so with that reason.
            if (need.reasons.some(({ reason }) => reason.why === 'no-heat-fitted')) continue;
            // Evidence may widen by the width of an estimate, since nobody has measured the new state yet; the likeliest value may not fall.
            expect(need.high, `${made.speciesId} ${proposal.key} ${need.need}`).toBeGreaterThanOrEqual(old.high - 1e-9);
            expect(need.severe && !old.severe, `${made.speciesId} ${proposal.key} ${need.need} severe`).toBe(false);
          }
        });
      }
    }
    expect(tried).toBeGreaterThan(300);
    expect(told).toBeGreaterThan(50);
  });
});

test('A proposal says whether the shortfall it answers is held against a target from memory alone', () => {
  const standing = (id: string) => library.sources.find((one) => one.id === id)!.standing;
  const corn = findSpecies(library, 'corn-snake');
  const list = propose(collectionOf({ speciesId: 'corn-snake', lengthMm: 1300, readings: { 'humidity-day': 76 } }));
  const about = (need: string) => list.filter((one) => one.need === need);
  // By the corn snake's own file: warmth and damp from memory, space by a review of 2021, enrichment by published work.
  expect([standing(corn.temperatures[0]!.source), standing(corn.humidity.source)]).toEqual([
    'from-memory',
    'from-memory',
  ]);
  expect(about('heat').map((one) => one.isFromMemory)).toContain(true);
  expect(about('humidity').map((one) => one.isFromMemory)).toEqual([true]);
  expect(about('space').length).toBeGreaterThan(0);
  for (const one of [...about('space'), ...about('enrichment')]) expect(one.isFromMemory).toBe(false);
  const sources = library.sources.map((one) => ({ ...one, standing: 'published' as const }));
  const readUp = propose(collectionOf({ speciesId: 'corn-snake', lengthMm: 1300 }), {
    library: { ...library, sources },
  });
  expect(readUp.length).toBeGreaterThan(0);
  expect(readUp.some((one) => one.isFromMemory)).toBe(false);
});

test('An adjustment is proposed only where what it promises, an estimate, is worth more than what was measured', () => {
  const heatOf = (collection: Collection) => scoresOf(collection)[0]!.needs.find((one) => one.need === 'heat')!.value;
  const gain = (hotSpot: number): number | null => {
    const collection = collectionOf({
      speciesId: 'bearded-dragon',
      fittings: [{ kind: 'basking-lamp' }],
      readings: { 'hot-spot-surface': hotSpot, 'cool-end-air': 26, 'night-air': 21 },
    });
    const adjust = propose(collection).find((one) => one.key.includes('adjust-basking'));
    return adjust === undefined ? null : heatOf(withFitted(collection, adjust)) - heatOf(collection);
  };
  // The band begins at 38 degrees Celsius; a reading of 36.5 lies below it by less than the usual error of the instrument.
  expect(gain(36.5)).toBeNull();
  expect(gain(33)).toBeGreaterThan(0);
});

describe('a kit', () => {
  const kitOf = (proposals: Proposal[], what: string) => {
    const found = proposals.find(({ act }) => act.act === 'kit' && act.parts.some((one) => one.what === what));
    if (found?.act.act !== 'kit') throw new Error(`no kit with a ${what}`);
    return { ...found, act: found.act };
  };
  const whats = (proposal: ReturnType<typeof kitOf>) => proposal.act.parts.map((one) => one.what);
  const dragon: Made = { speciesId: 'bearded-dragon', size: [1200, 600, 600] };

  test('holds a tube, its fixture, a timer and, only where the figures were taken with one, a reflector; no ceiling is passed', () => {
    let [bare, mirrored] = [0, 0];
    const onlyMirrored = {
      ...parts,
      parts: parts.parts.filter((one) => one.what !== 'uv-tube' || one.lamp.reflector === 'with'),
    };
    for (const list of [parts, onlyMirrored]) {
      for (const height of [450, 600, 900, 1200, 1500]) {
        for (const speciesId of ['bearded-dragon', 'hermanns-tortoise', 'leopard-gecko', 'blue-tongued-skink']) {
          const made: Made = { speciesId, size: [1200, 600, height] };
          for (const proposal of propose(collectionOf(made), { parts: list })) {
            if (proposal.act.act !== 'kit' || proposal.act.uvi === null) continue;
            const kinds = proposal.act.parts.map((one) => one.what);
            expect(kinds).toEqual(expect.arrayContaining(['uv-tube', 'fixture', 'timer']));
            const tube = proposal.upgrade.changes.flatMap((one) =>
              one.change === 'fit' && one.fitting.kind === 'uv-tube' ? [one.fitting] : [],
            )[0]!;
            expect(kinds.includes('reflector')).toBe(tube.lamp!.reflector === 'with');
            if (tube.lamp!.reflector === 'with') mirrored += 1;
            else bare += 1;
            const ceiling = Math.min(
              ...findSpecies(library, speciesId).uv.zones.flatMap((zone) =>
                library.uvZones.find((one) => one.zone === zone.zone)!.ceilings.map((one) => one.uvi),
              ),
            );
            expect(uviOnAxis(tube.lamp!, tube.distanceMm!)).toBeLessThanOrEqual(ceiling + 1e-9);
          }
        }
      }
    }
    expect(bare).toBeGreaterThan(5);
    expect(mirrored).toBeGreaterThan(3);
  });

  test('leaves out a timer that switches nothing, says so, and costs that much less; one that may serve another lamp is not taken', () => {
    const timer = { kind: 'timer' as const };
    const whole = kitOf(propose(collectionOf(dragon)), 'uv-tube');
    const spared = kitOf(propose(collectionOf({ ...dragon, fittings: [timer] })), 'uv-tube');
    expect(whats(whole)).toContain('timer');
    expect(whats(spared)).not.toContain('timer');
    expect(spared.act.owned).toEqual([{ what: 'timer', name: 'timer 0' }]);
    expect(whole.upgrade.priceHigh - spared.upgrade.priceHigh).toBe(
      parts.parts.find((one) => one.what === 'timer')!.priceHigh,
    );
    const after = withFitted(collectionOf({ ...dragon, fittings: [timer] }), { ...spared });
    const standing = after.fittings.filter((one) => one.kind === 'timer' && one.retiredOn === null);
    expect(standing.map((one) => [one.name, one.regulates])).toEqual([['timer 0', 'p/tube']]);
    const busy = kitOf(propose(collectionOf({ ...dragon, fittings: [timer, { kind: 'basking-lamp' }] })), 'uv-tube');
    expect(whats(busy)).toContain('timer');
  });

  test('takes the fixture of a tube of the same watts and length that goes, unless that had a reflector the new figures do not', () => {
    const old = (reflector: 'with' | 'without'): Made => ({
      ...dragon,
      fittings: [
        // Without a distance nothing can be told of it, so it makes way for a known one.
        { kind: 'uv-tube', more: { watts: 24, lamp: lampOf(550, 300, 3, { reflector }), hoursPerDay: 12 } },
        { kind: 'hide', more: { place: 'cool' } },
      ],
      readings: { 'uvi-basking': 0.3 },
    });
    const plain = kitOf(propose(collectionOf(old('without'))), 'uv-tube');
    expect(whats(plain)).not.toContain('fixture');
    expect(plain.act.owned).toContainEqual({ what: 'fixture', name: 'uv-tube 0' });
    // Both stay with a tube whose figures were taken with a reflector; a bare figure takes a fixture without one.
    const mirrored = kitOf(propose(collectionOf(old('with'))), 'uv-tube');
    expect(mirrored.act.owned.map((one) => one.what)).toEqual(expect.arrayContaining(['fixture', 'reflector']));
    expect(mirrored.act.parts[0]!.name).toContain('with reflector');
    const bareOnly = {
      ...parts,
      parts: parts.parts.filter((one) => one.what !== 'uv-tube' || one.lamp.reflector === 'without'),
    };
    const bare = kitOf(propose(collectionOf(old('with')), { parts: bareOnly }), 'uv-tube');
    expect(whats(bare)).toContain('fixture');
  });

  test('of a thermostat for a heater that has none takes one that lies idle and is known to suit, and is then free', () => {
    const pulse = parts.parts.find((one) => one.what === 'thermostat' && one.controls.by === 'pulse')!;
    const switching = parts.parts.find((one) => one.what === 'thermostat' && one.controls.by === 'switching')!;
    const proposed = (name: string) => {
      const collection = collectionOf({
        speciesId: 'leopard-gecko',
        fittings: [
          { kind: 'heat-mat', more: { watts: 14 } },
          { kind: 'thermostat', more: { name } },
        ],
      });
      return propose(collection).find((one) => one.key === 'e:kit f0')!;
    };
    expect(proposed(switching.name)).toMatchObject({ isFree: true, upgrade: { priceHigh: 0 } });
    expect(proposed(switching.name).act).toMatchObject({ owned: [{ what: 'thermostat', name: switching.name }] });
    // One that pulses is for ceramic heaters; one from elsewhere may be of any type, which the kit says.
    expect(proposed(pulse.name).isFree).toBe(false);
    expect(proposed('Thermostat of an aunt').act).toMatchObject({
      assumes: [{ assumes: 'own-thermostat-unread', name: 'Thermostat of an aunt' }],
    });
  });

  test('has a heater of the least watts that hold the coldest month; one beyond the list is said and not proposed', () => {
    // 60 W held 28 °C in a room of 20 °C: 7.5 W/K. At the high end of its error, thermometers of ± 0.5 °C each and a meter of 5 %:
    // 63 / (8 - 0.7071) = 8.638 W/K. A corn snake's cool end is 20 to 26 °C in the library, 23 in the middle.
    const asked = (celsius: number) => {
      const made = collectionOf({ speciesId: 'corn-snake', lengthMm: 1300, readings: { 'cool-end-air': 14 } });
      const heatUse = { watts: 60, insideCelsius: 28, roomCelsius: 20, on };
      const enclosures = made.enclosures.map((one) => ({ ...one, build: { ...one.build, heatUse, roomId: 'r' } }));
      const rooms: Room[] = [{ id: 'r', name: 'Room', coldest: { celsius, month: 1 }, hottest: null }];
      return surveyUpgrades({
        collection: { ...made, enclosures },
        library,
        choices: DEFAULT_CHOICES,
        rooms,
        parts,
        currency: euro,
        powerPrice: 0.24,
        on,
      });
    };
    const heaterAt = (celsius: number) => {
      const kit = kitOf(asked(celsius).proposals, 'ceramic-heater');
      const heater = kit.upgrade.changes.flatMap((one) =>
        one.change === 'fit' && one.fitting.kind === 'ceramic-heater' ? [one.fitting] : [],
      )[0]!;
      return { watts: heater.watts, assumes: kit.act.assumes };
    };
    for (const [room, watts] of [
      [17, 60],
      [14, 100],
      [10, 150],
    ] as const) {
      const needed = Math.ceil((63 / (8 - Math.SQRT1_2)) * (23 - room));
      expect(heaterAt(room).watts).toBe(watts);
      expect(heaterAt(room).assumes).toContainEqual({ assumes: 'watts-by-loss', watts, needed, roomCelsius: room });
    }
    const cold = asked(4);
    expect(cold.unanswered.map((one) => one.no)).toContainEqual({
      why: 'heater-at-limit',
      needed: Math.ceil((63 / (8 - Math.SQRT1_2)) * 19),
      mostWatts: 150,
    });
    expect(cold.proposals.flatMap(fittedKinds)).not.toContain('ceramic-heater');
  });
});

describe('why nothing is proposed', () => {
  const whysOf = (made: Made) =>
    surveyUpgrades({
      collection: collectionOf(made),
      library,
      choices: DEFAULT_CHOICES,
      rooms: [],
      parts,
      currency: euro,
      powerPrice: 0.24,
      on,
    }).unanswered;

  test.each<[string, Made, object]>([
    [
      'every tube is too long for the box',
      { speciesId: 'leopard-gecko', size: [450, 450, 600] },
      { need: 'uv', no: { why: 'tubes-too-long', shortestMm: 550, boxMm: 450 } },
    ],
    [
      'no tube is right at a height that the box leaves',
      { speciesId: 'leopard-gecko', size: [900, 450, 200] },
      { need: 'uv', no: { why: 'no-height-fits', heightMm: 200 } },
    ],
    [
      'the species is never given a heater',
      { speciesId: 'fire-bellied-toad', readings: { 'cool-end-air': 5, 'warm-air': 6 } },
      { need: 'heat', no: { why: 'room-must-warm', what: 'any-heater', kind: 'cool-end-air', celsius: 15 } },
    ],
    [
      'a frog at its limit',
      { speciesId: 'whites-tree-frog', readings: { 'warm-air': 28, 'night-air': 12 } },
      { need: 'heat', no: { why: 'warm-enough' } },
    ],
    [
      'no box goes into the space there is',
      { speciesId: 'corn-snake', lengthMm: 1300 },
      { need: 'space', no: { why: 'space-lacks' } },
    ],
  ])('%s', (what, made, expected) => {
    if (what.startsWith('no box')) {
      const collection = collectionOf(made);
      const enclosures = collection.enclosures.map((one) => ({
        ...one,
        build: { ...one.build, mostLengthMm: 900, mostDepthMm: 500, mostHeightMm: 500 },
      }));
      const found = surveyUpgrades({
        collection: { ...collection, enclosures },
        library,
        choices: DEFAULT_CHOICES,
        rooms: [],
        parts,
        currency: euro,
        powerPrice: 0.24,
        on,
      }).unanswered;
      expect(found).toContainEqual(
        expect.objectContaining({ need: 'space', no: expect.objectContaining({ why: 'space-lacks' }) }),
      );
      return;
    }
    expect(whysOf(made)).toContainEqual(expect.objectContaining(expected));
  });
});

test('A box made to measure gives the room that is needed, fits the space there is, and waits for the keeper to price it', () => {
  const collection = collectionOf({ speciesId: 'corn-snake', lengthMm: 1300, size: [900, 450, 450] });
  const enclosures = collection.enclosures.map((one) => ({
    ...one,
    build: { ...one.build, mostLengthMm: 1500, mostDepthMm: 800 },
  }));
  const made = propose({ ...collection, enclosures }).find((one) => one.act.act === 'home-made-box')!;
  expect(made).toMatchObject({
    priced: false,
    isFree: false,
    upgrade: { priceHigh: 0 },
  });
  const [box] = made.upgrade.changes;
  if (box?.change !== 'replace-box') throw new Error('no box');
  expect(box.lengthMm).toBeGreaterThanOrEqual(1300);
  // Walls of 20 mm on both sides.
  expect(box.lengthMm).toBeLessThanOrEqual(1460);
  expect(box.depthMm).toBeLessThanOrEqual(760);
  const space = (given: Collection) => scoresOf(given)[0]!.needs.find((one) => one.need === 'space')!.value;
  expect(space(withFitted({ ...collection, enclosures }, made))).toBeGreaterThan(space(collection));
});

describe('a warmer box', () => {
  const room: Room = { id: 'r', name: 'Room', coldest: { celsius: 12, month: 1 }, hottest: { celsius: 20, month: 7 } };
  const heated = (
    more: Partial<Omit<Enclosure, 'build'>> & { build?: Partial<BoxBuild> } = {},
    speciesId = 'corn-snake',
  ): Collection => {
    const made = collectionOf({
      speciesId,
      lengthMm: 1300,
      size: [1200, 600, 600],
      fittings: [
        { kind: 'ceramic-heater', more: { watts: 150, hoursPerDay: 24, outOfReach: true } },
        { kind: 'thermostat', more: { regulates: 'f0' } },
      ],
      readings: { 'cool-end-air': 23, 'night-air': 21 },
    });
    const build = { ...UNKNOWN_BUILD, roomId: 'r', wallMm: 12, airChanges: 2, ...more.build };
    return { ...made, enclosures: made.enclosures.map((one) => ({ ...one, ...more, build })) };
  };
  const survey = (collection: Collection, more: Partial<Proposing> = {}) =>
    surveyUpgrades({
      collection,
      library,
      choices: DEFAULT_CHOICES,
      rooms: [room],
      parts,
      currency: euro,
      powerPrice: 0.3,
      on,
      ...more,
    });
  const actOf = (collection: Collection, act: 'insulate' | 'close-top', more: Partial<Proposing> = {}) =>
    survey(collection, more).proposals.find((one) => one.act.act === act);

  test('saves what the walls lose less, through the year of its room, and lowers the running cost by the low end of it', () => {
    const found = actOf(heated(), 'insulate')!;
    if (found.act.act !== 'insulate' || found.act.saving.status !== 'saves') throw new Error('no saving');
    // ISO 6946 with films of 0.13 m² K/W: 12 mm of wood (0.13 W/(m K)) bare and under 20 mm of foam (0.04 W/(m K)) on back and sides.
    const bare = 1 / (0.26 + 0.012 / 0.13);
    const clad = 1 / (0.26 + 0.012 / 0.13 + 0.02 / 0.04);
    const kelvins = (bare - clad) * (1.2 * 0.6 + 2 * 0.6 * 0.6);
    // Half of every day 23 °C and half 21.5 °C are held, the middles of the library's bands; the room has 16 °C in the mean of the year.
    const kwh = (kelvins * ((23 + 21.5) / 2 - 16) * 24 * (365.2425 / 12)) / 1000;
    expect(found.act.saving.kwh.likely).toBeCloseTo(kwh, 6);
    expect(found.act.saving.kwh.low).toBeLessThan(kwh);
    expect(found.upgrade.monthlyCost).toBe(-Math.floor(found.act.saving.kwh.low * 30 + 1e-9));
    expect(found.upgrade.monthlyCost).toBeLessThan(0);
  });

  test('pays into the plan every month from its own on what it saves', () => {
    const collection = heated();
    const found = actOf(collection, 'insulate')!;
    const upgrade = {
      ...found.upgrade,
      id: '1',
      name: '',
      status: 'wanted' as const,
      origin: 'proposed' as const,
      note: '',
    };
    const { problem } = buildProblem(
      makeFacts({ collection, upgrades: [upgrade], planDate: on, firstMonth: plainMonth('2026-06') }),
    );
    const cash = (buys: { purchase: string; month: number }[]) => {
      const evaluation = evaluateSchedule(problem, buys);
      if (evaluation.status !== 'feasible') throw new Error('not feasible');
      return evaluation.balances.at(-1)!;
    };
    const { priceHigh, monthlyCost } = found.upgrade;
    expect(cash([{ purchase: '1', month: 0 }]) - cash([])).toBe(-priceHigh - monthlyCost * problem.months);
    expect(monthlyCost).toBeLessThan(0);
  });

  test('saves nothing of this purse where another pays for power, and nothing is proposed where nothing can be reckoned', () => {
    expect(actOf(heated(), 'insulate', { powerPrice: 'not-ours' })!.upgrade.monthlyCost).toBe(0);
    expect(actOf(heated(), 'insulate', { rooms: [] })).toBeUndefined();
    expect(actOf(heated({ top: 'mesh' }), 'insulate')).toBeUndefined();
    const unregulated = heated();
    const alone = { ...unregulated, fittings: unregulated.fittings.filter((one) => one.kind !== 'thermostat') };
    expect(actOf(alone, 'insulate')).toBeUndefined();
  });

  test('of mesh saves by its measured heat use alone, never under a lamp, and never for a species that needs moving air', () => {
    const heatUse = { watts: 130, insideCelsius: 26, roomCelsius: 18, on };
    const build = { heatUse };
    const low = (collection: Collection): Collection => ({
      ...collection,
      fittings: collection.fittings.map((one) =>
        one.kind === 'ceramic-heater'
          ? {
              ...one,
              placed: { xMm: 300, yMm: 300, zMm: 300, lengthMm: null, depthMm: null, heightMm: null, turned: false },
            }
          : one,
      ),
    });
    const covered = actOf(low(heated({ top: 'mesh', build })), 'close-top')!;
    expect(covered.upgrade.monthlyCost).toBeLessThan(0);
    expect(actOf(low(heated({ top: 'mesh' })), 'close-top')).toBeUndefined();
    const under = survey(heated({ top: 'mesh', build }));
    expect(under.proposals.map((one) => one.act.act)).not.toContain('close-top');
    expect(under.unanswered.map((one) => one.no)).toContainEqual({
      why: 'top-stays-open',
      objections: ['lamp-clearance'],
    });
    const chameleon = survey(low(heated({ top: 'mesh', build }, 'veiled-chameleon')));
    expect(chameleon.proposals.map((one) => one.act.act)).not.toContain('close-top');
    expect(chameleon.unanswered.map((one) => one.no)).toContainEqual({
      why: 'top-stays-open',
      objections: ['moving-air'],
    });
  });

  test('whose damp is too low is offered a cover over a part of its mesh, with its effect unknown', () => {
    const collection = collectionOf({
      speciesId: 'corn-snake',
      lengthMm: 1300,
      top: 'mesh',
      readings: { 'humidity-day': 15 },
    });
    const found = actOf(collection, 'close-top')!;
    expect(found.act).toMatchObject({ saving: { status: 'unknown' } });
    expect(found.upgrade.monthlyCost).toBe(0);
  });
});

// Husbandry rules, time: winter rest only after a vet check; that an animal fasts and is cooled before it is from memory, as src/signs.ts says.
test('a tortoise that is led into its dated rest is offered neither food to look for nor more warmth, and one without a date both', () => {
  const acts = (fromMonth: number | null) => {
    const collection = collectionOf({
      speciesId: 'hermanns-tortoise',
      lengthMm: 150,
      size: [1000, 500, 400],
      fittings: [{ kind: 'basking-lamp', more: { watts: 50, hoursPerDay: 12 } }],
      readings: { 'hot-spot-surface': 26, 'cool-end-air': 20 },
    });
    const seasons = fromMonth === null ? [] : [{ season: 'winter-rest' as const, fromMonth, toMonth: fromMonth + 1 }];
    const animals = collection.animals.map((one) => ({ ...one, seasons }));
    return propose({ ...collection, animals }).map(({ act }) => act.act);
  };
  const next = monthOfYear(addMonths(monthOf(on), 1));
  expect(acts(null)).toEqual(expect.arrayContaining(['scatter-food', 'adjust-basking']));
  expect(acts(next)).not.toContain('scatter-food');
  expect(acts(next)).not.toContain('adjust-basking');
});

// Which animals take whole prey is zoology (all snakes); that food is then not scattered is common practice, no source.
test('food is scattered for who searches for it, and whole prey offered at another place for who swallows that', () => {
  const acts = (speciesId: string) => propose(collectionOf({ speciesId })).map(({ act }) => act.act);
  expect(acts('bearded-dragon')).toContain('scatter-food');
  for (const { id, group, neverPropose } of library.species)
    if (group === 'snake') expect(neverPropose, id).toContain('scattered-food');
  expect(acts('royal-python')).toContain('vary-prey');
  expect(acts('royal-python')).not.toContain('scatter-food');
});

test('a lamp whose hours nobody entered is asked about and not set', () => {
  const lamp = { kind: 'uv-compact' as const, more: { hoursPerDay: null } };
  const acts = propose(collectionOf({ speciesId: 'bearded-dragon', fittings: [lamp] })).map(({ act }) => act.act);
  expect(acts).not.toContain('set-hours');
});
