import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { lampOf, type Placement, type Setup } from '../../src/collection.ts';
import { type LampTrial, lampsIn, tryLamp } from '../../src/lamp-trial.ts';
import { BACK_MM, lightingOf, NEAREST_HANGING_MM } from '../../src/light-scene.ts';
import { placesIn } from '../../src/lit-places.ts';
import type { Part } from '../../src/parts.ts';
import { findSpecies } from '../../src/species.ts';
import { applyUpgrades } from '../../src/upgrades.ts';
import { library, makeAnimal, makeBox, makeCollection, makeFitting, makeUpgrade } from '../support/make.ts';
import { today } from '../support/scoring.ts';

const parts = readCatalogue();

const setupOf = (box: Setup['enclosure'], speciesId: string, fittings: Setup['fittings']): Setup => ({
  enclosure: box,
  occupants: [makeAnimal(speciesId)],
  fittings,
  readings: [],
  answers: [],
});

const placed = (parts: Partial<Placement>): Placement => ({
  ...{ xMm: 0, yMm: 0, zMm: 0, lengthMm: null, depthMm: null, heightMm: null, turned: false },
  ...parts,
});

const stone = (heightMm: number) =>
  makeFitting('basking-place', {
    id: 'stone',
    placed: placed({ xMm: 300, yMm: 300, lengthMm: 300, depthMm: 200, heightMm }),
  });

const part = (uvi: number, litLengthMm = 550): Part => ({
  ...lampsIn(parts)[0]!,
  id: `tube-${uvi}`,
  lamp: lampOf(litLengthMm, 300, uvi),
});

const asked: Omit<LampTrial, 'part'> = {
  ...{ xMm: null, yMm: null, zMm: null, turned: null, meshShare: 1, guarded: false, instead: true },
};

const bandsOf = (speciesId: string) => {
  const zones = findSpecies(library, speciesId).uv.zones.map((one) => one.zone);
  return library.uvZones.filter((band) => zones.includes(band.zone));
};

function tried(setup: Setup, trial: LampTrial) {
  const bands = bandsOf(setup.occupants[0]!.speciesId);
  return tryLamp(setup, trial, { bands, library, parts, priced: true, on: today });
}

/** The UVI that a new lamp gives on the stone once the changes of a trial are made. */
function given(setup: Setup, { changes }: ReturnType<typeof tried>): number {
  const collection = makeCollection({
    enclosures: [setup.enclosure],
    animals: setup.occupants,
    fittings: setup.fittings,
  });
  const after = applyUpgrades(collection, [makeUpgrade('9', changes)], today);
  const scene = lightingOf({ box: setup.enclosure, fittings: after.fittings, on: today });
  if (scene.status !== 'lit') throw new Error(`the box should be lit: ${JSON.stringify(scene)}`);
  return placesIn(scene).find((one) => one.fittingId === 'stone')!.fresh.aimed;
}

describe('where a lamp on trial hangs', () => {
  test('Where its class fits, a new lamp gives what is right, and no height farther away would do so to the end of its life', () => {
    let cases = 0;
    for (const top of ['closed', 'mesh', 'open'] as const) {
      for (const heightMm of [400, 600, 900, 1200]) {
        for (const groundMm of [50, 150, 300]) {
          for (const uvi of [0.6, 1, 3, 6]) {
            for (const guarded of [false, true]) {
              const setup = setupOf(makeBox(1200, 600, heightMm, { top }), 'bearded-dragon', [stone(groundMm)]);
              const one = tried(setup, { ...asked, part: part(uvi), guarded, meshShare: top === 'mesh' ? 0.8 : 1 });
              if (one.hanging?.status !== 'found' || one.hanging.fits === null) continue;
              const { low, high } = one.wanted!;
              const uviThere = given(setup, one);
              expect(uviThere).toBeGreaterThanOrEqual(low - 1e-6);
              expect(uviThere).toBeLessThanOrEqual(high + 1e-6);
              expect(one.distanceMm).toBeGreaterThanOrEqual(NEAREST_HANGING_MM - 1e-6);
              const { farthestAtEndOfLifeMm: old, fits } = one.hanging;
              if (old !== null && old >= fits.nearestMm) {
                // A tube keeps 70 % of its output at the end of its life (own assumption).
                expect(uviThere * 0.7).toBeGreaterThanOrEqual(low - 1e-6);
                expect(one.distanceMm).toBeGreaterThan(Math.min(old, fits.farthestMm) - 5.001);
              }
              cases += 1;
            }
          }
        }
      }
    }
    expect(cases).toBeGreaterThan(60);
  });

  test('Too weak a lamp hangs as near as it may, too strong a one as far as the box lets it', () => {
    const setup = setupOf(makeBox(1200, 600, 600, { top: 'closed' }), 'bearded-dragon', [stone(100)]);
    expect(tried(setup, { ...asked, part: part(0.1) }).distanceMm).toBe(NEAREST_HANGING_MM);
    const strong = tried(setup, { ...asked, part: part(200) });
    expect(strong.placed.zMm).toBe(600 - 40);
    expect(strong.fit).toMatchObject({ status: 'does-not-fit', why: 'too-strong' });
  });

  test('Over mesh it hangs above the mesh, and inside a closed box below the roof', () => {
    const at = (top: 'mesh' | 'closed') =>
      tried(setupOf(makeBox(1200, 600, 450, { top }), 'bearded-dragon', [stone(100)]), { ...asked, part: part(3) })
        .placed.zMm;
    expect(at('mesh')).toBeGreaterThan(450);
    expect(at('closed')).toBeLessThan(450);
  });

  test('It lies whole between the walls, front to back where only that has room', () => {
    const setup = setupOf(makeBox(500, 700, 600, { top: 'closed' }), 'bearded-dragon', []);
    expect(tried(setup, { ...asked, part: part(3) }).placed).toMatchObject({ xMm: 250, yMm: 350, turned: true });
    const wide = setupOf(makeBox(1200, 600, 600, { top: 'closed' }), 'bearded-dragon', [
      { ...stone(100), placed: { ...stone(100).placed!, xMm: 160 } },
    ]);
    // Half of 55 cm is 27.5 cm: over a stone 16 cm from the wall it would stick out.
    expect(tried(wide, { ...asked, part: part(3) }).placed).toMatchObject({ xMm: 275, yMm: 300, turned: false });
  });

  test('What is asked is done: place, guard, and whether the lamps there stay', () => {
    const old = makeFitting('uv-tube', {
      id: 'old',
      lamp: lampOf(550, 300, 1),
      placed: placed({ xMm: 600, yMm: 300, zMm: 560 }),
    });
    const hide = makeFitting('hide', { id: 'hide', place: 'cool' });
    const setup = setupOf(makeBox(1200, 600, 600, { top: 'closed' }), 'bearded-dragon', [stone(100), old, hide]);
    const own = { ...asked, part: part(3), xMm: 400, yMm: 200, zMm: 500, turned: false };
    const alone = tried(setup, own);
    expect(alone.changes.map((one) => one.change)).toEqual(['retire', 'fit']);
    expect(alone.placed).toMatchObject({ xMm: 400, yMm: 200, zMm: 500 });
    expect(alone.distanceMm).toBe(500 - 100 - BACK_MM);
    const beside = tried(setup, { ...own, instead: false });
    expect(beside.changes.map((one) => one.change)).toEqual(['fit']);
    expect(given(setup, beside)).toBeGreaterThan(given(setup, alone));
    // 85 % through a guard: common practice, no source.
    const guarded = tried(setup, { ...own, guarded: true });
    expect(guarded.changes).toMatchObject([{}, {}, { fitting: { kind: 'guard', guards: 'lamp' } }]);
    expect(given(setup, guarded)).toBeCloseTo(0.85 * given(setup, alone), 9);
  });

  test('Where nothing is dark a free hide comes along, but not for who hides among leaves or lives in the damp', () => {
    const box = makeBox(1200, 600, 600, { top: 'closed' });
    const bare = (speciesId: string) => tried(setupOf(box, speciesId, [stone(100)]), { ...asked, part: part(3) });
    expect(bare('bearded-dragon')).toMatchObject({
      dark: 'home-made-hide',
      changes: [{ change: 'fit' }, { fitting: { kind: 'hide', place: 'cool' } }],
    });
    expect(bare('panther-chameleon')).toMatchObject({ dark: 'to-be-bought', changes: [{ change: 'fit' }] });
    expect(bare('whites-tree-frog').dark).toBe('to-be-bought');
  });

  test('What nobody looked at stays unknown, and the lamp hangs as if nothing were between', () => {
    const setup = setupOf(makeBox(1200, 600, 600, { top: 'closed' }), 'bearded-dragon', [stone(100)]);
    const [open, unlooked] = [1, null].map((meshShare) => tried(setup, { ...asked, part: part(3), meshShare }));
    expect(unlooked!.changes[0]).toMatchObject({ fitting: { meshShare: null } });
    expect(unlooked!.distanceMm).toBe(open!.distanceMm);
    expect(given(setup, open!)).toBeLessThan(3.5);
  });
});

test('With nobody there nothing is right or wrong, and a lamp of unknown output fits nowhere', () => {
  const box = makeBox(1200, 600, 600, { top: 'closed' });
  const empty: Setup = { enclosure: box, occupants: [], fittings: [stone(100)], readings: [], answers: [] };
  const nobody = tryLamp(empty, { ...asked, part: part(3) }, { bands: [], library, parts, priced: true, on: today });
  expect(nobody).toMatchObject({ wanted: null, fit: null, hanging: null, distanceMm: NEAREST_HANGING_MM });
  const unknown = { ...part(3), what: 'uv-compact', lamp: null };
  const one = tried(setupOf(box, 'bearded-dragon', [stone(100)]), { ...asked, part: unknown });
  expect(one).toMatchObject({ hanging: null, fit: { status: 'does-not-fit', why: 'output-unknown' } });
});
