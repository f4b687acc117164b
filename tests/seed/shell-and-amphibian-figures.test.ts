// Tortoises, turtles and amphibians against what was published of them. Every expected value was typed from the source named beside it and
// none was computed by the library; open trait data bound what a size or a temperature can be.

import { describe, expect, it } from 'vitest';
import { readCareLibrary } from '../../seed/library.ts';
import { plainDate } from '../../src/calendar.ts';
import { figuresIn } from '../../src/care-figures.ts';
import { dayLengthHours } from '../../src/day-length.ts';
import type { RuleSet, SpaceRule, Species, TemperatureKind } from '../../src/species.ts';
import { findSource, findSpecies } from '../../src/species.ts';

const library = readCareLibrary();
const species = (id: string): Species => findSpecies(library, id);
const standingOf = (source: string) => findSource(library, source).standing;
const isAmphibian = ({ group }: Species) => group === 'frog' || group === 'salamander';
const hasShell = ({ group }: Species) => group === 'tortoise' || group === 'turtle';
const shellsAndAmphibians = library.species.filter((one) => isAmphibian(one) || hasShell(one));

const rule = (id: string, ruleSet: RuleSet): SpaceRule => {
  const found = species(id).space.find((one) => one.ruleSet === ruleSet);
  if (found === undefined) throw new Error(`${id} has no rule of ${ruleSet}`);
  return found;
};
const shapeAs = <By extends SpaceRule['shape']['by']>(one: SpaceRule, by: By) => {
  if (one.shape.by !== by) throw new Error(`${one.title} is not by ${by}`);
  return one.shape as Extract<SpaceRule['shape'], { by: By }>;
};
const multiplesOf = (id: string, ruleSet: RuleSet) => {
  const { length, depth, height } = shapeAs(rule(id, ruleSet), 'multiples');
  return [length, depth, height];
};
const boxOf = (id: string, ruleSet: RuleSet) => {
  const { lengthMm, depthMm, heightMm } = shapeAs(rule(id, ruleSet), 'fixed');
  return [lengthMm, depthMm, heightMm];
};
const rowsOf = (id: string, ruleSet: RuleSet) =>
  shapeAs(rule(id, ruleSet), 'table').rows.map(({ upToMm, floorM2, furtherM2 }) => [upToMm, floorM2, furtherM2]);
const stepsOf = (id: string, ruleSet: RuleSet) => {
  const { further } = rule(id, ruleSet);
  if (further?.by !== 'floor-share') throw new Error(`${id} ${ruleSet} has no shares of floor`);
  return further.steps.map(({ fromAnimal, share }) => [fromAnimal, share]);
};
const target = (id: string, kind: TemperatureKind) => {
  const found = species(id).temperatures.find((one) => one.kind === kind);
  if (found === undefined) throw new Error(`${id} has no ${kind}`);
  return found;
};
const bandOf = (id: string, kind: TemperatureKind) => [target(id, kind).low, target(id, kind).high];
const bodyTimes = (id: string) => species(id).water?.depth?.timesBody;

const TESTUDO = ['hermanns-tortoise', 'horsfields-tortoise', 'spur-thighed-tortoise', 'egyptian-tortoise'];
const AQUATIC_TURTLES = ['red-eared-slider', 'painted-turtle', 'musk-turtle', 'reeves-turtle'];
const TAILED = ['axolotl', 'tiger-salamander', 'fire-salamander', 'fire-bellied-newt'];

type Row = [what: string, shipped: unknown, published: unknown];

describe('The UV zone of a species', () => {
  // Bands of mean exposure: Baines et al. 2016, Journal of Zoo and Aquarium Research 4(1):42-63, as quoted.
  const bands = { 1: [0, 0.7], 2: [0.7, 1.0], 3: [1.0, 2.6], 4: [2.6, 3.5] } as const;

  it.each<[string, 1 | 2 | 3]>([
    // Examples named in a newspaper magazine, Manila, 1 January 2022: a popular list, so 'secondary'.
    ['red-footed-tortoise', 2],
    ['painted-turtle', 3],
    ['dyeing-dart-frog', 1],
    ['green-and-black-dart-frog', 1],
  ])('%s: %d, which a popular list names, with the published band', (id, zone) => {
    expect(species(id).uv.zones).toMatchObject([{ zone, source: 'zone-magazine-2022', grade: 'hearsay' }]);
    expect(standingOf('zone-magazine-2022')).toBe('secondary');
    const { meanLow, meanHigh } = library.uvZones.find((one) => one.zone === zone)!;
    expect([meanLow, meanHigh]).toEqual(bands[zone]);
  });

  it('that no source names is from memory, and where keepers differ both zones stand', () => {
    const named = library.species.flatMap((one) => one.uv.zones.map(({ source }) => ({ one, source })));
    const remembered = named.filter(({ one, source }) => shellsAndAmphibians.includes(one) && source === 'memory');
    expect(remembered.length).toBeGreaterThan(15);
    for (const { source } of remembered) expect(standingOf(source)).toBe('from-memory');
    const zonesOf = (id: string) => species(id).uv.zones.map(({ zone }) => zone);
    expect(zonesOf('sulcata-tortoise')).toEqual([3, 4]);
    expect(zonesOf('reeves-turtle')).toEqual([2, 3]);
    expect(zonesOf('whites-tree-frog')).toEqual([1, 2]);
  });

  it.each([
    ['red-eared-slider', 'required', 'acierno-2006', 'tested-on-species'], // AJVR 67:2046-2049: 71.7 against 31.4 nmol/l in 4 weeks
    ['hermanns-tortoise', 'required', 'selleri-2012', 'tested-on-species'], // AJVR 73:1781: lamps let vitamin D fall by half in 35 days
    ['painted-turtle', 'required', 'emydoidea-2022', 'studied-nearby'], // J. Herp. Med. Surg. 32:225, another turtle of the family: 5.5 times
    ['eastern-box-turtle', 'required', 'emydoidea-2022', 'studied-nearby'],
  ])('%s: UV is %s, by %s', (id, need, source, grade) => {
    expect(species(id).uv).toMatchObject({ need, needCited: { source, grade } });
    expect(standingOf(source)).toBe('published');
  });
});

describe('Climate', () => {
  it.each<Row>([
    // Austria, 2nd animal keeping ordinance, Annex 3 §1.2.1, Egyptian tortoise: by day in summer 25-35 °C.
    ['the Egyptian tortoise’s warm air', bandOf('egyptian-tortoise', 'warm-air'), [25, 35]],
    // German expert report 1997 p. 67, in the words of Austria's Annex 3 §1.1(4): air or water at least 23-26 °C by day for most.
    ['the musk turtle’s water', bandOf('musk-turtle', 'water'), [23, 26]],
    ['Reeves’ turtle’s water', bandOf('reeves-turtle', 'water'), [23, 26]],
    ['the least of the red-footed tortoise’s warm air', target('red-footed-tortoise', 'warm-air').low, 23],
    // Veterinary clinic page, Mauritius: tortoises and turtles 21-30 °C, staying at 35 dangerous.
    ['the most of the red-footed tortoise’s warm air', target('red-footed-tortoise', 'warm-air').high, 30],
    [
      'where the red-footed tortoise’s warm air is worth nothing',
      target('red-footed-tortoise', 'warm-air').high + target('red-footed-tortoise', 'warm-air').toleranceAbove,
      35,
    ],
    // Recommendation 2007/526/EC, table J.1, Trachemys scripta elegans: 20-25 °C, and §4.3.1: water below 25 °C.
    ['the slider’s water', bandOf('red-eared-slider', 'water'), [20, 25]],
    ['the painted turtle’s water, as its relative’s', bandOf('painted-turtle', 'water'), [20, 25]],
    // The same, table I.1, Hyla cinerea: 18-25 °C and 50-70 % (columns run together in the copy read).
    ['the American green tree frog’s air', bandOf('american-green-tree-frog', 'warm-air'), [18, 25]],
    ['its humidity by day', species('american-green-tree-frog').humidity.day, { low: 50, high: 70 }],
  ])('of %s is as published', (_, shipped, published) => {
    expect(shipped).toEqual(published);
  });

  it('of 80 to 100 % in a slider’s laboratory is told beside the wider band that keepers use', () => {
    // Recommendation 2007/526/EC, table J.1.
    expect(species('red-eared-slider').humidity.note).toContain('80-100 (Recommendation 2007/526/EC)');
  });

  it('never holds an amphibian above 26 °C, in any season, nor gives it more than one degree beyond its band', () => {
    // Austria, 2nd animal keeping ordinance §6(4): heat-sensitive tropical amphibians never permanently above 26 °C.
    let held = 0;
    for (const one of library.species.filter(isAmphibian)) {
      for (const each of [...one.temperatures, ...one.profiles.flatMap(({ temperatures }) => temperatures ?? [])]) {
        expect(each.high, `${one.id} ${each.kind}`).toBeLessThanOrEqual(26);
        held += 1;
      }
      for (const { toleranceAbove, criticalAbove } of one.temperatures)
        expect({ toleranceAbove, criticalAbove }, one.id).toEqual({ toleranceAbove: 1, criticalAbove: true });
    }
    expect(held).toBeGreaterThan(30);
  });

  it('is never a critical thermal maximum, nor a body temperature given to a place', () => {
    for (const one of shellsAndAmphibians) {
      for (const each of one.temperatures) {
        expect(each.source, `${one.id} ${each.kind}`).not.toBe('globtherm-2018');
        expect(each.source, `${one.id} ${each.kind}`).not.toBe('wikivet-potz');
      }
    }
  });
});

describe('Space', () => {
  it.each(TESTUDO)(
    '%s: 8 x 4 shells for two grown animals, +10 % for the third and fourth, +20 % from the fifth',
    (id) => {
      // German expert report 1997, Testudo, as one breeder page and a Swiss vet column give it; unit: carapace length.
      expect(multiplesOf(id, 'DE-1997')).toEqual([8, 4, null]);
      expect(rule(id, 'DE-1997')).toMatchObject({ forAnimals: 2, measure: 'carapace', covers: { adultsOnly: true } });
      expect(stepsOf(id, 'DE-1997')).toEqual([
        [3, 0.1],
        [5, 0.2],
      ]);
      expect(standingOf(rule(id, 'DE-1997').source)).toBe('secondary');
    },
  );

  it.each(AQUATIC_TURTLES)('%s: 5 x 2.5 shells for two in Germany and the water of the laboratory table', (id) => {
    // German expert report 1997, most aquatic turtles, as several pages give it.
    expect(multiplesOf(id, 'DE-1997')).toEqual([5, 2.5, null]);
    expect(rule(id, 'DE-1997')).toMatchObject({ forAnimals: 2, measure: 'carapace', further: null });
    // Directive 2010/63/EU Annex III B §10, table 10.1: carapace (cm), surface and each further animal (cm²).
    const published = [
      [5, 600, 100],
      [10, 1600, 300],
      [15, 3500, 600],
      [20, 6000, 1200],
      [30, 10_000, 2000],
      [null, 20_000, 5000],
    ] as const;
    const inMetres = published.map(([cm, surface, further]) => [
      cm === null ? null : cm * 10,
      surface / 10_000,
      further / 10_000,
    ]);
    expect(rowsOf(id, 'EU-laboratory')).toEqual(inMetres);
    expect(rule(id, 'EU-laboratory')).toMatchObject({ basis: 'laboratory-minimum', forAnimals: 1 });
    // Depths of the same table, 10 cm at 5, 15 at 10, 20 at 15, 30 at 20 and 35 at 30: between 1.17 and 2 shells.
    expect(bodyTimes(id)).toBeGreaterThanOrEqual(35 / 30);
    expect(bodyTimes(id)).toBeLessThanOrEqual(10 / 5);
  });

  it.each(TAILED)(
    '%s: 0.1, 0.4 and 0.9 m² by total length for two grown animals in Austria, a quarter for each more',
    (id) => {
      // Austria, 2nd animal keeping ordinance, Annex 4 §1(5), gazette of 17 December 2004: to 10 cm 0.1 m², to 20 cm 0.4, to 30 cm 0.9.
      expect(rowsOf(id, 'AT')).toEqual([
        [100, 0.1, null],
        [200, 0.4, null],
        [300, 0.9, null],
      ]);
      expect(rule(id, 'AT')).toMatchObject({
        forAnimals: 2,
        measure: 'total',
        covers: { adultsOnly: true, upToMm: 300 },
      });
      expect(stepsOf(id, 'AT')).toEqual([[3, 0.25]]);
      expect(species(id).adultSize.measure).toBe('total');
    },
  );

  it.each<Row>([
    // Austria, 2nd animal keeping ordinance, Annex 3 §1.2.1: to 6 cm 0.50 m² (+0.20), to 12 cm 1.00 (+0.40), above 2.00 (+0.50), 1-2 animals.
    [
      'the Egyptian tortoise’s floor in Austria',
      rowsOf('egyptian-tortoise', 'AT'),
      [
        [60, 0.5, 0.2],
        [120, 1, 0.4],
        [null, 2, 0.5],
      ],
    ],
    ['the number it holds for', rule('egyptian-tortoise', 'AT').forAnimals, 2],
    // Switzerland, SR 455.1 Annex 2 table 6, rows 1 (Hyla cinerea named) and 2 (Agalychnis named): land 10 x 5, height 10, n = 2, more 2 x 2.
    ['the American green tree frog’s box in Switzerland', multiplesOf('american-green-tree-frog', 'CH'), [10, 5, 10]],
    ['the red-eyed tree frog’s box in Switzerland', multiplesOf('red-eyed-tree-frog', 'CH'), [10, 5, 10]],
    ['White’s tree frog’s box in Switzerland', multiplesOf('whites-tree-frog', 'CH'), [10, 5, 10]],
    [
      'each further tree frog’s land in Switzerland',
      rule('red-eyed-tree-frog', 'CH').further,
      { by: 'body-lengths', length: 2, depth: 2 },
    ],
    ['the number of tree frogs it holds for', rule('american-green-tree-frog', 'CH').forAnimals, 2],
    // German federal pet advice: small tree frogs 60 x 40 x 60 cm, large ones 100 x 40 x 80 cm, at most four.
    ['a small tree frog’s box in Germany', boxOf('american-green-tree-frog', 'DE-pages'), [600, 400, 600]],
    ['a large tree frog’s box in Germany', boxOf('whites-tree-frog', 'DE-pages'), [1000, 400, 800]],
  ])('%s is as published', (_, shipped, published) => {
    expect(shipped).toEqual(published);
  });

  it('a salamander’s or newt’s water is at least as deep as the animal is long', () => {
    // Austria, Annex 4 §1(5): at least once and at most three times the total length.
    for (const id of ['axolotl', 'fire-bellied-newt']) {
      expect(bodyTimes(id), id).toBe(1);
      expect(species(id).water?.depth?.source, id).toBe('at-tailed-amphibians');
    }
  });

  it('whether the Austrian table binds for an axolotl is left open', () => {
    // Austria, 2nd animal keeping ordinance §6(2): species that live in water alone are kept as freshwater fish are.
    expect(rule('axolotl', 'AT').note).toContain('§6(2)');
    expect(rule('axolotl', 'AT').covers.animals).toContain('if the table holds');
  });

  it('of which nothing could be read is custom or memory, never given as a rule of some country', () => {
    const unread = [
      'sulcata-tortoise',
      'red-footed-tortoise',
      'eastern-box-turtle',
      'horned-frog',
      'african-clawed-frog',
    ];
    for (const id of [...unread, 'dyeing-dart-frog', 'green-and-black-dart-frog', 'fire-bellied-toad']) {
      expect(
        species(id).space.map(({ ruleSet, jurisdiction }) => ({ ruleSet, jurisdiction })),
        id,
      ).toEqual([{ ruleSet: 'practice', jurisdiction: null }]);
      expect(standingOf(species(id).space[0]!.source), id).toMatch(/^(common-practice|from-memory)$/);
    }
  });
});

describe('Shelter, company and law', () => {
  it.each<Row>([
    // Recommendation 2007/526/EC part I §4.2: tubes of pottery or plastic for Xenopus.
    ['the clawed frog’s shelter', species('african-clawed-frog').hides.source, 'eu-2007-526-amphibians'],
    // The same, J §4.3.1: a platform to shelter under.
    [
      'the turtles’ shelter',
      AQUATIC_TURTLES.map((id) => species(id).hides.zones),
      AQUATIC_TURTLES.map(() => ['under-water']),
    ],
  ])('%s is what was asked for', (_, shipped, published) => {
    expect(shipped).toEqual(published);
  });

  it('names the lists of law that were read, and each entry sends the keeper to the local law', () => {
    const wheres = (id: string) =>
      species(id)
        .legal.filter(({ source }) => standingOf(source) !== 'from-memory')
        .map(({ where }) => where);
    // Norway, list in force since 15 August 2017, as a keepers' society reprints it.
    for (const id of ['hermanns-tortoise', 'reeves-turtle', 'red-footed-tortoise'])
      expect(wheres(id), id).toEqual(['Norway']);
    // Flanders, list in force since 1 October 2019, as the press reports it.
    expect(wheres('sulcata-tortoise')).toEqual(['Flanders']);
    // Regulation (EU) 1143/2014, Trachemys scripta.
    expect(wheres('red-eared-slider')).toEqual(['European Union']);
    const entries = shellsAndAmphibians.flatMap(({ legal }) => legal);
    expect(entries.length).toBeGreaterThan(20);
    for (const { text } of entries) expect(text).toMatch(/Check your local law\.$/);
  });

  it('never has a listed invader acquired, an animal of cool water heated, or a tortoise climb', () => {
    for (const id of ['red-eared-slider', 'painted-turtle', 'african-clawed-frog'])
      expect(species(id).neverPropose, id).toContain('acquire');
    for (const one of library.species.filter(({ group }) => group === 'salamander'))
      expect(one.neverPropose, one.id).toContain('any-heater');
    for (const one of library.species.filter(({ group }) => group === 'tortoise')) {
      expect(one.neverPropose, one.id).toContain('more-height');
      expect(one.enrichment.kinds, one.id).not.toContain('climb');
    }
  });

  it('gives hatchling tortoises damp air and a damp retreat as a matter of life', () => {
    const tortoises = library.species.filter(({ group }) => group === 'tortoise');
    expect(tortoises.length).toBeGreaterThanOrEqual(6);
    for (const one of tortoises) {
      const young = one.profiles.find(({ when }) => 'stage' in when && when.stage === 'hatchling');
      expect(young?.humidity, one.id).toMatchObject({ moistRetreat: 'required', lifeCritical: true });
      expect(young!.humidity!.day.low, one.id).toBeGreaterThan(one.humidity.day.low);
    }
  });
});

describe('Open trait data', () => {
  // Oliveira et al. 2017, AmphiBIO v1, Scientific Data 4:170123: largest body size (mm); of frogs snout to vent, of tailed ones with the tail.
  const largestMm: Record<string, number> = {
    'fire-bellied-toad': 47,
    'whites-tree-frog': 100,
    'red-eyed-tree-frog': 77,
    'american-green-tree-frog': 66,
    'dyeing-dart-frog': 50,
    'green-and-black-dart-frog': 42,
    'horned-frog': 158,
    'african-clawed-frog': 147,
    axolotl: 300,
    'tiger-salamander': 330,
    'fire-bellied-newt': 140,
    'fire-salamander': 280,
  };
  // Its record is smaller than animals that keepers measure.
  const recordTooSmall = ['fire-bellied-toad'];
  // Its column says body size and holds total length, so it bounds that measure alone.
  const recordWithTail = ['axolotl', 'tiger-salamander', 'fire-bellied-newt', 'fire-salamander'];

  it('has a largest size for every amphibian of the library', () => {
    expect(Object.keys(largestMm).sort()).toEqual(
      library.species
        .filter(isAmphibian)
        .map(({ id }) => id)
        .sort(),
    );
  });

  it.each(Object.entries(largestMm))('%s: adults are no larger than the largest on record, %d mm', (id, mm) => {
    const { lowMm, highMm, measure } = species(id).adultSize;
    expect(lowMm).toBeLessThan(mm);
    // A line of the list of bad records that no longer says anything new fails here.
    expect(highMm > mm).toBe(recordTooSmall.includes(id));
    expect(measure).toBe(recordWithTail.includes(id) ? 'total' : 'snout-vent');
  });

  // Bennett et al. 2018, GlobTherm, Scientific Data: critical thermal maximum (°C), a body temperature at which the animal fails.
  const fatal: Record<string, number> = {
    'red-eared-slider': 41.2,
    'painted-turtle': 42.3,
    'hermanns-tortoise': 42.0,
    'green-and-black-dart-frog': 34.8,
  };

  it.each(Object.entries(fatal))(
    '%s: no place is meant to be as hot as what kills it, %d °C, and the keeper is told',
    (id, celsius) => {
      const one = species(id);
      for (const { kind, high } of one.temperatures) expect(high, kind).toBeLessThan(celsius);
      const told = one.hazards.filter(({ source }) => source === 'globtherm-2018');
      expect(told.map(({ text }) => Number(text.match(/[\d.]+(?= °C)/)?.[0]))).toEqual([celsius]);
    },
  );
});

describe('Hours of light', () => {
  it('lie within an hour of the longest and the shortest day that the home range knows', () => {
    let held = 0;
    for (const one of shellsAndAmphibians) {
      const { homeLatitude, lightHours } = one;
      expect(homeLatitude, one.id).not.toBeNull();
      expect(lightHours, one.id).not.toBeNull();
      if (homeLatitude === null || lightHours === null) continue;
      const poleward = Math.max(Math.abs(homeLatitude.low), Math.abs(homeLatitude.high));
      // The days of the solstices by the formula that the calendar of the sun is held against elsewhere.
      const longest = dayLengthHours(poleward, plainDate('2026-06-21'));
      const shortest = dayLengthHours(poleward, plainDate('2026-12-21'));
      expect(lightHours.summer.high, one.id).toBeLessThanOrEqual(longest + 1);
      expect(lightHours.winter.low, one.id).toBeGreaterThanOrEqual(shortest - 1);
      expect(lightHours.winter.high, one.id).toBeLessThanOrEqual(lightHours.summer.high);
      held += 1;
    }
    expect(held).toBeGreaterThanOrEqual(23);
  });
});

describe('A figure of a shell or an amphibian', () => {
  it('from memory or custom is never graded as tested or studied', () => {
    const figures = shellsAndAmphibians.flatMap((one) => figuresIn(one).map((figure) => ({ ...figure, id: one.id })));
    const weak = figures.filter(({ source }) => /^(common-practice|from-memory)$/.test(standingOf(source)));
    expect(weak.length).toBeGreaterThan(figures.length / 3);
    for (const { id, path, grade } of weak) expect(grade, `${id} ${path}`).toMatch(/^(agreed-practice|hearsay)$/);
  });
});
