// The catalogue of parts as it ships: it reads, refuses planted faults by field, and can furnish what careful keeping asks for.

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { readCareLibrary } from '../../seed/library.ts';

const catalogue = readCatalogue();
const kinds = new Set(catalogue.parts.map((part) => part.what));

describe('the catalogue of parts', () => {
  it('has a price range above nothing for every part, in euro, and says that the prices have no source', () => {
    expect(catalogue.currency).toBe('EUR');
    expect(catalogue.note).toContain('no source');
    expect(catalogue.parts.length).toBeGreaterThan(44);
    for (const part of catalogue.parts) {
      expect(part.priceLow, part.id).toBeGreaterThan(0);
      expect(part.priceHigh, part.id).toBeGreaterThan(part.priceLow);
      expect(['common-practice', 'from-memory'], part.id).toContain(part.standing);
    }
  });

  it('holds everything a whole kit needs: tube, fitting, reflector, timer; heater, holder, guard and a thermostat that can carry it', () => {
    for (const kind of ['uv-tube', 'fixture', 'reflector', 'timer', 'guard', 'thermostat'] as const)
      expect(kinds).toContain(kind);
    const heaters = catalogue.parts.filter((part) =>
      ['basking-lamp', 'heat-mat', 'ceramic-heater', 'radiant-panel'].includes(part.what),
    );
    expect(heaters.length).toBeGreaterThan(5);
    const strongest = Math.max(
      ...catalogue.parts.map((part) => (part.what === 'thermostat' ? part.controls.maxWatts : 0)),
    );
    for (const heater of heaters) expect(heater.watts, heater.id).toBeLessThanOrEqual(strongest);
  });

  it('has a fitting for the watts of every tube', () => {
    const tubes = catalogue.parts.filter((part) => part.what === 'uv-tube');
    expect(tubes.length).toBeGreaterThan(3);
    for (const { id, watts } of tubes) {
      const fits = catalogue.parts.some(
        (part) =>
          part.what === 'fixture' &&
          part.fixture.holds === 'tube' &&
          part.fixture.watts === watts &&
          part.name.includes(`${watts} W T5 tube`),
      );
      expect(fits, id).toBe(true);
    }
  });

  it('has a ceramic holder that may carry every heater without light with a screw cap', () => {
    const holders = catalogue.parts.flatMap((part) =>
      part.what === 'fixture' && part.fixture.holds === 'screw-cap' && part.fixture.ceramic ? [part.fixture] : [],
    );
    const heaters = catalogue.parts.filter((part) => part.what === 'ceramic-heater');
    expect(heaters.length).toBeGreaterThan(2);
    const most = Math.max(...holders.map((one) => one.maxWatts));
    for (const { id, watts } of heaters) expect(watts, id).toBeLessThanOrEqual(most);
  });

  it('sells no contact rock heater', () => {
    expect(catalogue.parts.filter((part) => /rock|stone/i.test(part.name))).toEqual([]);
  });

  it('names the output and lit length of every tube in the name that people read', () => {
    const tubes = catalogue.parts.flatMap((part) => (part.what === 'uv-tube' ? [part] : []));
    expect(tubes.length).toBeGreaterThan(3);
    for (const { name, watts, lamp } of tubes) {
      expect(name).toBe(
        `T5 UV-B tube, ${watts} W, ${lamp.litLengthMm / 10} cm lit, UVI ${lamp.uvi.toFixed(1)} at ${lamp.atMm / 10} cm ${lamp.reflector === 'with' ? 'with reflector' : 'bare'}`,
      );
    }
  });

  it('knows no output of a compact lamp from its packaging', () => {
    const compacts = catalogue.parts.flatMap((part) => (part.what === 'uv-compact' ? [part.lamp] : []));
    expect(compacts).toEqual([null]);
  });

  it('has an enclosure as long as the largest usual corn snake and royal python need and as wide as a tree frog’s', () => {
    const boxes = catalogue.parts.flatMap((part) => (part.what === 'enclosure' ? [part.enclosure] : []));
    const holds = (lengthMm: number, depthMm: number, heightMm: number) =>
      boxes.some((box) => box.lengthMm >= lengthMm && box.depthMm >= depthMm && box.heightMm >= heightMm);
    // German expert report 1997: corn snake 1.0 x 0.5 x 1.0, bearded dragon 5 x 4 x 3; Swiss table 6: tree frog 10 x 5 x 10.
    const corn = readCareLibrary().species.find((one) => one.id === 'corn-snake')!.adultSize.highMm;
    expect(holds(corn, corn * 0.5, corn)).toBe(true);
    expect(holds(1150, 920, 690)).toBe(true);
    expect(holds(1000, 500, 1000)).toBe(true);
    expect(holds(5000, 500, 500)).toBe(false);
  });
});

describe('a planted fault in the catalogue', () => {
  const folders: string[] = [];
  afterAll(() => {
    for (const folder of folders) rmSync(folder, { recursive: true });
  });
  it.each<[string, (content: ReturnType<typeof JSON.parse>) => void, RegExp]>([
    ['dear end below the cheap end', (one) => (one.parts[2].priceHigh = 100), /catalogue\.json: parts\.2\.priceLow: /],
    ['price in whole euro', (one) => (one.parts[2].priceLow = 32.5), /catalogue\.json: parts\.2\.priceLow: /],
    ['tube without its output', (one) => delete one.parts[0].lamp, /catalogue\.json: parts\.0\.lamp: /],
    [
      'fixture that holds nothing',
      (one) => delete one.parts.find((part: { what: string }) => part.what === 'fixture').fixture,
      /catalogue\.json: parts\.\d+\.fixture: /,
    ],
    ['unknown kind', (one) => (one.parts[0].what = 'hot-rock'), /catalogue\.json: parts\.0\.what: /],
    ['shared id', (one) => (one.parts[1].id = one.parts[0].id), /catalogue\.json: parts: two parts share an id/],
    ['currency that is none', (one) => (one.currency = 'euro'), /catalogue\.json: currency: /],
    ['note that hides that prices have no source', (one) => (one.note = 'Checked.'), /catalogue\.json: note: /],
  ])('(%s) is named by its field', (_, plant, expected) => {
    const folder = mkdtempSync(join(tmpdir(), 'catalogue-'));
    folders.push(folder);
    const content = JSON.parse(readFileSync(join(import.meta.dirname, '../../seed/catalogue.json'), 'utf8'));
    plant(content);
    writeFileSync(join(folder, 'catalogue.json'), JSON.stringify(content));
    expect(() => readCatalogue(folder)).toThrow(expected);
  });
});
