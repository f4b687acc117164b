// Which targets hold for one animal in one month, how long it will be, and that two kinds of temperature cannot be mixed.

import { describe, expect, it } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { addMonths, monthOfYear, plainDate, plainMonth } from '../../src/calendar.ts';
import type { Celsius, DatedSeason, Species } from '../../src/species.ts';
import { findSource, findSpecies, inSpan, projectLength, speciesOf, targetsFor } from '../../src/species.ts';

const library = readCareLibrary();
const tortoise = findSpecies(library, 'hermanns-tortoise');
const corn = findSpecies(library, 'corn-snake');
const frog = findSpecies(library, 'whites-tree-frog');
const winter: DatedSeason = { season: 'winter-rest', fromMonth: 11, toMonth: 2 };
const adult = (seasons: DatedSeason[] = []) => ({ hatchedOn: null, seasons });

describe('a span of months', () => {
  it('counts both ends and runs over New Year', () => {
    const inside = (from: number, to: number) =>
      [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12].filter((month) => inSpan(month, from, to));
    expect(inside(5, 9)).toEqual([5, 6, 7, 8, 9]);
    expect(inside(11, 2)).toEqual([1, 2, 11, 12]);
    expect(inside(3, 3)).toEqual([3]);
  });
});

describe('the targets for a month', () => {
  it('are the winter rest’s from November over New Year to February, and the usual ones in every other month', () => {
    const start = plainMonth('2026-09');
    for (let ahead = 0; ahead < 12; ahead += 1) {
      const month = addMonths(start, ahead);
      const targets = targetsFor(tortoise, adult([winter]), month);
      const resting = [11, 12, 1, 2].includes(monthOfYear(month));
      expect(targets.season, month).toBe(resting ? 'winter-rest' : 'active');
      expect(targets.needsOff.includes('uv'), month).toBe(resting);
      expect(
        targets.temperatures.some((one) => one.kind === 'hot-spot-surface'),
        month,
      ).toBe(!resting);
    }
  });

  it('have no open water to score for a tortoise and do for a tree frog', () => {
    expect(targetsFor(tortoise, adult(), plainMonth('2026-06')).needsOff).toEqual(['water']);
    expect(targetsFor(frog, adult(), plainMonth('2026-06')).needsOff).toEqual([]);
  });

  it('follow the life stage: damp and life-critical for a hatchling, damp for a juvenile, dry for an adult', () => {
    const young = { hatchedOn: plainDate('2026-08-15'), seasons: [] };
    const at = (month: string) => targetsFor(tortoise, young, plainMonth(month));
    expect(at('2026-10').stage).toBe('hatchling');
    expect(at('2026-10').humidity).toMatchObject({ lifeCritical: true, moistRetreat: 'required' });
    expect(at('2027-07').stage).toBe('hatchling');
    expect(at('2027-08').stage).toBe('juvenile'); // a year old by the month's last day
    expect(at('2028-06').humidity).toMatchObject({ lifeCritical: false, moistRetreat: 'required' });
    expect(at('2030-07').stage).toBe('juvenile');
    expect(at('2030-08').stage).toBe('adult');
    expect(at('2030-08').humidity).toEqual(tortoise.humidity);
  });

  it('let the season replace what the life stage set', () => {
    const youngAtRest = { hatchedOn: plainDate('2025-08-15'), seasons: [winter] };
    const rest = tortoise.profiles.find((one) => 'season' in one.when);
    const targets = targetsFor(tortoise, youngAtRest, plainMonth('2026-12'));
    expect(targets.stage).toBe('juvenile');
    expect(targets.humidity).toEqual(rest?.humidity);
    expect(targets.temperatures).toEqual(rest?.temperatures);
  });

  it('change nothing for a dated season the species has no targets for', () => {
    const targets = targetsFor(frog, adult([winter]), plainMonth('2026-12'));
    expect(targets.season).toBe('active');
    expect(targets.temperatures).toEqual(frog.temperatures);
  });

  it('keep a corn snake’s usual humidity while it is cooled', () => {
    const targets = targetsFor(corn, adult([{ season: 'cooling', fromMonth: 12, toMonth: 1 }]), plainMonth('2027-01'));
    expect(targets.season).toBe('cooling');
    expect(targets.humidity).toEqual(corn.humidity);
    expect(targets.temperatures.some((one) => one.kind === 'warm-hide-floor')).toBe(false);
  });

  it('carry no profiles and leave the species as it was', () => {
    const before = structuredClone(tortoise);
    const targets = targetsFor(tortoise, adult([winter]), plainMonth('2027-01'));
    expect('profiles' in targets).toBe(false);
    expect(tortoise).toEqual(before);
  });
});

describe('the length some months ahead', () => {
  const grown: Species = {
    ...corn,
    adultSize: { ...corn.adultSize, lowMm: 1000, highMm: 1400 },
    growth: { ...corn.growth, monthsToAdult: 40 },
  };

  it('of an adult stays as measured', () => {
    expect(projectLength(grown, 1300, 24, 60)).toEqual({ low: 1300, high: 1300 });
    // Of unknown age it may still be on its way to the upper end.
    expect(projectLength(grown, 1300, 240)).toEqual({ low: 1300, high: 1400 });
  });

  it('of a young animal reaches the adult range when its remaining months are over, and stays there', () => {
    // 400 mm is 40 % of the lower adult size, so 60 % of 40 months remain: 24.
    // It is 2/7 of the upper adult size: 24 of the 28.6 months that remain bring it 84 % of the way there.
    expect(projectLength(grown, 400, 24).low).toBe(1000);
    expect(projectLength(grown, 400, 24).high).toBeCloseTo(1240, 6);
    expect(projectLength(grown, 400, 240)).toEqual({ low: 1000, high: 1400 });
  });

  it('of a young animal grows in a straight line between', () => {
    expect(projectLength(grown, 400, 12).low).toBe(700);
    expect(projectLength(grown, 400, 12).high).toBeCloseTo(820, 6);
    expect(projectLength(grown, 400, 0)).toEqual({ low: 400, high: 400 });
  });

  it('never shrinks and never has its ends crossed, for every species at every age', () => {
    let cases = 0;
    for (const one of library.species) {
      for (const share of [0.2, 0.5, 0.9, 1, 1.2]) {
        let before = one.adultSize.lowMm * share;
        for (const months of [1, 6, 24, 120]) {
          const { low, high } = projectLength(one, one.adultSize.lowMm * share, months);
          expect(low).toBeGreaterThanOrEqual(before);
          expect(high).toBeGreaterThanOrEqual(low);
          before = low;
          cases += 1;
        }
      }
    }
    expect(cases).toBe(library.species.length * 20);
  });
});

describe('a state that the keeper dated', () => {
  // An invented profile: no shipped species has targets of its own for a state yet.
  const moist = { ...corn.humidity, day: { low: 60, high: 80 } };
  const profile = { when: { state: 'gravid' as const }, humidity: moist, needsOff: [], ...corn.grouping };
  const laying: Species = { ...corn, profiles: [...corn.profiles, profile] };
  const [from, to] = [plainDate('2026-03-20'), plainDate('2026-05-02')];
  const gravid = { hatchedOn: null, seasons: [], states: [{ state: 'gravid' as const, from, to }] };

  it('holds in every month it touches, and until further notice without a last day', () => {
    const inMonth = (month: string, animal: Parameters<typeof targetsFor>[1] = gravid) =>
      targetsFor(laying, animal, plainMonth(month)).humidity.day.low;
    expect(['2026-02', '2026-03', '2026-04', '2026-05', '2026-06'].map((month) => inMonth(month))).toEqual([
      corn.humidity.day.low,
      60,
      60,
      60,
      corn.humidity.day.low,
    ]);
    const open = { ...gravid, states: [{ state: 'gravid' as const, from, to: null }] };
    expect([inMonth('2026-02', open), inMonth('2031-01', open)]).toEqual([corn.humidity.day.low, 60]);
    expect(targetsFor(laying, gravid, plainMonth('2026-04')).state).toBe('gravid');
  });

  it('changes nothing where the species has no targets of its own for it', () => {
    const targets = targetsFor(corn, gravid, plainMonth('2026-04'));
    expect(targets.humidity).toEqual(corn.humidity);
    expect(targets.state).toBeNull();
  });
});

describe('a lookup', () => {
  it('of a species or source that is not there is refused by name', () => {
    expect(() => findSpecies(library, 'dragon')).toThrow(/dragon/);
    expect(() => findSource(library, 'hearsay')).toThrow(/hearsay/);
  });
});

describe('the species of an animal', () => {
  it('is the one set for it alone, as long as it is of that species, and that of all others otherwise', () => {
    const softer = { ...corn, grouping: { ...corn.grouping, atMost: 7 } };
    const own = { ...library, individuals: [{ animalId: '4', species: softer }] };
    const companyOf = (id: string, speciesId: string) => speciesOf(own, { id, speciesId }).grouping.atMost;
    expect(companyOf('4', 'corn-snake')).toBe(7);
    expect(companyOf('5', 'corn-snake')).toBe(corn.grouping.atMost);
    expect(companyOf('4', 'hermanns-tortoise')).toBe(tortoise.grouping.atMost);
  });
});

describe('two kinds of temperature', () => {
  it('cannot be assigned to or compared with one another', () => {
    const surface = 40 as Celsius<'hot-spot-surface'>;
    const inside = 35 as Celsius<'body'>;
    // @ts-expect-error a body temperature is not a basking surface
    const wrong: Celsius<'hot-spot-surface'> = inside;
    // @ts-expect-error the two kinds never equal one another
    const same = surface === inside;
    const takesNight = (night: Celsius<'night-air'>) => night;
    // @ts-expect-error a cool end by day is not a night
    takesNight(24 as Celsius<'cool-end-air'>);
    // @ts-expect-error a bare number has no kind
    takesNight(24);
    expect([wrong, same]).toEqual([35, false]);
  });
});
