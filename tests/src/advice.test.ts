import { describe, expect, test } from 'vitest';
import { HEATERS } from '../../src/collection.ts';
import { bandOf } from '../../src/score.ts';
import { findSpecies } from '../../src/species.ts';
import {
  collectionOf,
  fittedOnPaper,
  isMeant,
  proposalsFor,
  readAdviceCases,
  type Statement,
  scoresOf,
} from '../support/advice.ts';
import { library } from '../support/make.ts';

const cases = readAdviceCases();

// Each file of tests/cases/advice is a set-up with the text it is held against, and what must hold of its scores and of the advice.
describe.each(cases)('$title ($file)', (made) => {
  const collection = collectionOf(made);
  const scores = scoresOf(made, collection);
  const proposals = proposalsFor(made, collection);

  test.each(made.must)('$says', (must: Statement) => {
    const score = scores[must.animal ?? 0]!;
    let checked = 0;
    const when = <T>(value: T | undefined, check: (value: T) => void) => {
      if (value === undefined) return;
      checked += 1;
      check(value);
    };
    if (must.need !== undefined) {
      const need = score.needs.find((one) => one.need === must.need)!;
      expect(need, `${must.need} is scored`).toBeDefined();
      const whys = need.reasons.map(({ reason }) => reason.why) as string[];
      when(must.severe, (severe) => expect(need.severe).toBe(severe));
      when(must.unknown, (unknown) => expect(need.unknown).toBe(unknown));
      when(must.band, (band) => expect(bandOf(need.value)).toBe(band));
      when(must.atLeast, (least) => expect(need.value).toBeGreaterThanOrEqual(least));
      when(must.atMost, (most) => expect(need.value).toBeLessThanOrEqual(most));
      when(must.because, (why) => expect(whys).toContain(why));
      when(must.notBecause, (why) => expect(whys).not.toContain(why));
      when(must.citing, (source) => expect(need.reasons.map(({ cited }) => cited?.source)).toContain(source));
    }
    when(must.notScored, (need) => expect(score.notScored.map((one) => one.need)).toContain(need));
    when(must.season, (season) => expect(score.season).toBe(season));
    const keys = proposals.map(({ key }) => key).join('\n');
    const meant = (which: NonNullable<Statement['proposed']>) =>
      proposals.filter((one) => isMeant(one, which, collection));
    when(must.firstOfAll, (which) => expect(meant(which), keys).toContain(proposals[0]));
    when(must.firstToBuy, (which) => expect(meant(which), keys).toContain(proposals.find((one) => !one.isFree)));
    when(must.proposed, (which) => expect(meant(which).length, keys).toBeGreaterThan(0));
    when(must.neverProposed, (which) => expect(meant(which).map(({ key }) => key)).toEqual([]));
    // A statement that holds nothing against anything would pass whatever the advice.
    expect(checked).toBeGreaterThan(0);
  });
});

describe('Of every written set-up', () => {
  test('there are more than twenty, of every group of animals, each with its source', () => {
    expect(cases.length).toBeGreaterThan(20);
    const groups = new Set(cases.map((made) => findSpecies(library, made.animals[0]!.species).group));
    expect([...groups].sort()).toEqual(['frog', 'lizard', 'salamander', 'snake', 'tortoise', 'turtle']);
  });

  // A fall of under half a point is not seen on any page, and not told.
  test('no proposal worsens a need of anyone there without telling it', () => {
    let [tried, tells] = [0, 0];
    const worse: string[] = [];
    for (const made of cases) {
      const collection = collectionOf(made);
      const before = scoresOf(made, collection);
      for (const proposal of proposalsFor(made, collection)) {
        tried += 1;
        scoresOf(made, fittedOnPaper(made, collection, proposal)).forEach((after, index) => {
          for (const old of before[index]!.needs) {
            const need = after.needs.find((one) => one.need === old.need);
            tells += proposal.lowers.length;
            const told = proposal.lowers.some((one) => one.need === old.need && one.animalId === after.animalId);
            const falls = need === undefined || need.value <= old.value - 0.5 || (need.severe && !old.severe);
            if (falls !== told)
              worse.push(`${made.file} ${proposal.key}: ${old.need} ${old.value} -> ${need?.value} told ${told}`);
          }
        });
      }
    }
    expect(worse).toEqual([]);
    expect(tried).toBeGreaterThan(80);
    expect(tells).toBeGreaterThan(10);
  });

  test('no heater is proposed without what regulates it, none that the animal touches, and no hide is taken away', () => {
    let heaters = 0;
    for (const made of cases) {
      const collection = collectionOf(made);
      for (const proposal of proposalsFor(made, collection)) {
        const fits = proposal.upgrade.changes.flatMap((one) => (one.change === 'fit' ? [one.fitting] : []));
        for (const heater of fits.filter((one) => HEATERS.has(one.kind))) {
          heaters += 1;
          expect(heater.kind).not.toBe('rock-heater');
          // A heater for water carries its own thermostat as a rule (common practice, no source).
          if (heater.kind === 'water-heater') continue;
          expect(fits.some((one) => one.kind === 'thermostat' && one.regulates === heater.key)).toBe(true);
        }
        for (const change of proposal.upgrade.changes) {
          if (change.change !== 'retire') continue;
          const thing = collection.fittings.find((one) => one.id === change.fittingId)!;
          expect(['hide', 'moist-hide', 'plants', 'branches']).not.toContain(thing.kind);
        }
      }
    }
    expect(heaters).toBeGreaterThan(5);
  });

  test('nobody is advised to get another animal', () => {
    // What a proposal may change is fitted things, readings, answers and the box: the list is exact, so that a new kind is looked at here.
    const kinds = new Set<string>();
    for (const made of cases) {
      const collection = collectionOf(made);
      for (const proposal of proposalsFor(made, collection)) {
        for (const change of proposal.upgrade.changes) kinds.add(change.change);
        expect(fittedOnPaper(made, collection, proposal).animals).toEqual(collection.animals);
      }
    }
    const known = ['answer', 'fit', 'move', 'predict', 'renew', 'replace-box', 'retire', 'set-hours'];
    expect(known).toEqual(expect.arrayContaining([...kinds]));
    expect(kinds.size).toBeGreaterThan(4);
  });
});
